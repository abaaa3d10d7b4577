"""Bridges bound to their outlines, and pieces that nothing would hold."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from kerfwright.job import Job
from kerfwright.operation import Operation, Pocket, Profile
from kerfwright.setup import Piece, Work
from kerfwright.strategy import Bridges

__all__ = ["bound", "hold_faults", "surrounded"]

HELD_BY_LINKS = ("screws", "frame")
"""Holds that grip the sheet but not a piece cut out of it."""


def surrounded(loops: Sequence[tuple[int, int]], pieces: Sequence[Piece]) -> set[tuple[int, int]]:
    """Of a pocket's loops, those whose inside the pocket leaves standing (even-odd)."""
    mine = set(loops)
    out = set()
    for p, k in loops:
        around, parent = 0, pieces[p].loops[k].parent
        while parent >= 0:
            around += (p, parent) in mine
            parent = pieces[p].loops[parent].parent
        if around % 2:
            out.add((p, k))
    return out


def bound(
    works: Sequence[tuple[str, Operation, tuple[tuple[int, int], ...]]], pieces: Sequence[Piece]
) -> tuple[dict[tuple[int, int], Bridges], list[tuple[str, str]]]:
    """(piece, loop) -> the bridges declared on that outline, and faults (path, message) where two differ.

    `works` are path, operation and loops. A pocket declares bridges on what it surrounds.
    """
    found: dict[tuple[int, int], tuple[str, Bridges]] = {}
    faults: list[tuple[str, str]] = []
    for path, operation, loops in works:
        declared: Bridges | None = getattr(operation, "bridges", None)
        if declared is None:
            continue
        on = surrounded(loops, pieces) if isinstance(operation, Pocket) else set(loops)
        if not on and loops:
            faults.append((f"{path}.bridges", "the pocket surrounds nothing that bridges could hold"))
        told: set[str] = set()
        for key in sorted(on):
            other = found.setdefault(key, (path, declared))
            if other[1] != declared and other[0] not in told:
                told.add(other[0])
                faults.append(
                    (
                        f"{path}.bridges",
                        f"an outline of part {pieces[key[0]].part!r} has bridges of {other[0]} already, and they differ; "
                        "allowed: one declaration an outline",
                    )
                )
    return {k: v for k, (_, v) in found.items()}, faults


def hold_faults(
    job: Job, pieces: Sequence[Piece], works: Sequence[Work], keepouts: Sequence[shapely.Polygon]
) -> list[tuple[str, str]]:
    """Faults where a piece or slug would come free with neither bridge nor keepout to hold it: what can be told from the
    outlines. A slug no wider than the cutter's sweep leaves (its outline offset inwards by the cutter is empty) is dust.
    """
    if job.sheet.hold not in HELD_BY_LINKS:
        return []
    faults = []
    for work in works:
        if not work.operation.through or not isinstance(work.operation, Profile | Pocket):
            continue
        told: set[tuple[str, int]] = set()
        island = surrounded(work.loops, pieces) if isinstance(work.operation, Pocket) else set()
        shapes: dict[tuple[str, int], bool] = {}
        for p, k in work.loops:
            piece, loop = pieces[p], pieces[p].loops[k]
            key = (piece.part, k)
            if (p, k) in work.bridges or key in told:
                continue
            if isinstance(work.operation, Pocket):
                if (p, k) not in island:
                    continue
                side = "outside"
            else:
                side = work.waste(loop)
            if key not in shapes:
                deep = {"outside": 0.0, "line": work.operation.cutter.radius, "inside": work.operation.cutter.cuts}[
                    side
                ]
                shapes[key] = not shapely.is_empty(shapely.buffer(loop.curve.polygon(), -deep, quad_segs=32))
            if not shapes[key]:
                continue
            area = loop.curve.polygon(0.01)
            if any(shapely.covers(area, v) for v in keepouts):
                continue
            told.add(key)
            what = "piece" if loop.depth % 2 == 0 and side != "inside" else "slug"
            x0, y0, x1, y1 = loop.curve.bounds
            faults.append(
                (
                    f"{work.path}.bridges",
                    f"the {what} of {x1 - x0:.4g} x {y1 - y0:.4g} mm in part {piece.part!r} would come free under hold "
                    f"{job.sheet.hold!r}; allowed: bridges, or a hole that the cutter takes whole",
                )
            )
    return faults
