"""Bridges bound to their outlines, and pieces that nothing would hold."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from kerfwright.job import Job
from kerfwright.operation import Operation, Pocket, Profile
from kerfwright.placing.filled import Shapes
from kerfwright.placing.gaps import SLIVER, region
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
    """(piece, loop) -> the bridges declared on that outline, and faults (path, message) where two differ, and where nothing
    is cut through that they could hold.

    `works` are path, operation and loops. A pocket declares bridges on what it surrounds.
    """
    through = {key for _, operation, loops in works if operation.depth is None for key in loops}
    found: dict[tuple[int, int], tuple[str, Bridges]] = {}
    faults: list[tuple[str, str]] = []
    for path, operation, loops in works:
        declared: Bridges | None = getattr(operation, "bridges", None)
        if declared is None:
            continue
        on = surrounded(loops, pieces) if isinstance(operation, Pocket) else set(loops)
        if not on and loops:
            faults.append((f"{path}.bridges", "the pocket surrounds nothing that bridges could hold"))
        blind = sorted(key for key in on if key not in through)
        if blind and isinstance(operation, Pocket):
            p, k = blind[0]
            x0, y0, x1, y1 = pieces[p].loops[k].curve.bounds
            faults.append(
                (
                    f"{path}.bridges",
                    f"found bridges on an outline of {x1 - x0:.4g} x {y1 - y0:.4g} mm in part {pieces[p].part!r} that no operation "
                    "cuts through: nothing comes free there that they could hold; allowed: `depth: through`, or no bridges",
                )
            )
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
    job: Job, pieces: Sequence[Piece], shapes: Shapes, works: Sequence[Work], keepouts: Sequence[shapely.Geometry]
) -> list[tuple[str, str]]:
    """Faults where a piece or slug would come free and neither bridge nor keepout holds it: what outlines alone tell.

    A slug is dust where the cutter's sweep along the outline leaves nothing of it: offset inwards by the cutter it is
    empty. A keepout (a screw) that stands wholly in a slug holds it.
    """
    if job.sheet.hold not in HELD_BY_LINKS:
        return []
    faults = []
    for n, work in enumerate(works):
        if not work.operation.pierces or not isinstance(work.operation, Profile | Pocket):
            continue
        pocket = isinstance(work.operation, Pocket)
        loops = sorted(surrounded(work.loops, pieces)) if pocket else work.loops
        told: set[tuple[str, int]] = set()
        dust: set[tuple[str, int]] = set()
        for p, k in loops:
            loop, part = pieces[p].loops[k], pieces[p].part
            if (p, k) in work.bridges or (part, k) in told or (part, k) in dust:
                continue
            side = "outside" if pocket else work.waste(loop)
            rest = _rest(pieces[p], shapes[p], k, side, work.operation.cutter.cuts, work.operation.allowance.side)
            gone = [region(w, pieces[p], shapes[p]) for w in works[:n] if w.operation.pierces and (p, k) in w.loops]
            if gone:  # a wall is finished around what was cleared before, not around a slug
                rest = _firm(shapely.difference(rest, shapely.union_all(gone)))
            slug = side == "inside" or loop.depth % 2 == 1
            if shapely.is_empty(rest):
                dust.add((part, k))
                continue
            if any(shapely.covers(rest, v) for v in keepouts):
                continue
            told.add((part, k))
            x0, y0, x1, y1 = loop.curve.bounds
            faults.append(
                (
                    f"{work.path}.bridges",
                    f"the {'slug' if slug else 'piece'} of {x1 - x0:.4g} x {y1 - y0:.4g} mm in part {part!r} would come free "
                    f"under hold {job.sheet.hold!r}; allowed: bridges{', or a slug that is cut to dust' * slug}",
                )
            )
    return faults


def _rest(
    piece: Piece, shapes: NDArray[np.object_], k: int, side: str, diameter: float, left: float
) -> shapely.Geometry:
    """What a cut along a loop leaves inside it, without what the loops in it enclose; `left` at the side on purpose."""
    deep = {"outside": -left, "line": diameter / 2, "inside": diameter + left}[side]
    rest = shapely.buffer(shapes[k], -deep, quad_segs=32)
    holes = [shapes[i] for i, v in enumerate(piece.loops) if v.parent == k]
    return shapely.difference(rest, shapely.union_all(holes)) if holes else rest


def _firm(area: shapely.Geometry) -> shapely.Geometry:
    """Without slivers."""
    return shapely.buffer(shapely.buffer(area, -SLIVER), SLIVER)
