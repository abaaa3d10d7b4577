"""Parts whose layout finds the places itself: what it is told of the sheets, and what it answers."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.errors import NoRoom
from kerfwright.job import Job, Part
from kerfwright.operation import Profile
from kerfwright.packing import Bed, Packing, laid_out

__all__ = ["packings"]

RIGHT_ANGLES = (0.0, 90.0, 180.0, 270.0)
"""Turns that are tried where the sheet has no grain."""
FINE = 0.002
"""Outlines are given in chords this near to the true curve (mm), so that pieces are kept this much further apart."""


def packings(
    job: Job, there: Sequence[tuple[int, shapely.Geometry]]
) -> tuple[dict[int, Floats], list[tuple[str, str]]]:
    """Rows (n, 4) of sheet from 1, x, y and turn by index of the part; and faults (path, message).

    Parts that name one layout with the same parameters are packed together, with the widest gap that one of them asks for.
    `there` are part and area of the pieces that have a place on the first sheet already.
    """
    groups: dict[Packing, list[int]] = {}
    faults: list[tuple[str, str]] = []
    for k, part in enumerate(job.parts):
        if isinstance(part.layout, Packing) and part.drawing.loops:
            faults += _unfit(k, part)
            groups.setdefault(attrs.evolve(part.layout, count=1, gap=0.0), []).append(k)
    if groups and job.sheet.size is None:
        faults.append(
            ("sheet.size", "found none, allowed: the sheet's size, for a layout that finds places on it itself")
        )
    if faults or not groups or job.sheet.size is None:
        return {}, faults
    taken: list[list[shapely.Geometry]] = [[area for _, area in there]]
    out: dict[int, Floats] = {}
    for layout, parts in groups.items():
        try:
            rows, areas = _packed(job, layout, parts, taken)
        except NoRoom as e:
            faults.append((f"parts[{parts[0]}].layout", str(e)))
            continue
        for n, k in enumerate(parts):
            mine = rows[rows[:, 0] == n]
            mine = mine[np.lexsort((mine[:, 2], mine[:, 1]))]  # copies count sheet by sheet, from the left
            out[k] = np.column_stack([mine[:, 1] + 1, mine[:, 2:]])
        for sheet, area in zip(rows[:, 1].astype(int).tolist(), areas):
            taken += [[] for _ in range(sheet + 1 - len(taken))]
            taken[sheet].append(area)
    return out, faults


def _unfit(k: int, part: Part) -> list[tuple[str, str]]:
    faults = []
    if part.at != ((0.0, 0.0),):
        faults.append((f"parts[{k}].at", "found a place, allowed: none, as the layout finds the places itself"))
    if part.turn:
        faults.append((f"parts[{k}].turn", "found a turn, allowed: none, as the layout turns the pieces itself"))
    return faults


def _packed(
    job: Job, layout: Packing, parts: Sequence[int], taken: Sequence[Sequence[shapely.Geometry]]
) -> tuple[Floats, Sequence[shapely.Geometry]]:
    """Rows as the layout gives them, and the area of each piece, in sheet coordinates."""
    assert job.sheet.size is not None
    said = [job.parts[k].layout for k in parts]
    asked = [one for one in said if isinstance(one, Packing)]
    gap = max(one.gap for one in asked)
    kerf = max((o.cutter.cuts for o in job.operations if isinstance(o, Profile)), default=0.0)
    edge = kerf + gap + FINE
    width, depth = job.sheet.size
    whole = shapely.box(edge, edge, width - edge, depth - edge) if min(width, depth) > 2 * edge else shapely.Polygon()
    fixed = [shapely.buffer(one.area, edge) for one in job.sheet.keepout]
    apart = kerf + edge
    beds = [
        shapely.difference(whole, shapely.union_all([*fixed, *(shapely.buffer(area, apart) for area in areas)]))
        for areas in (*taken, [])
    ]
    outlines = [_outline(job.parts[k]) for k in parts]
    turns = tuple(job.sheet.grain.along + t for t in job.sheet.grain.turns) or RIGHT_ANGLES
    rows = layout.packed(outlines, [one.count for one in asked], Bed(tuple(beds), apart, turns))
    return rows, list(laid_out(outlines, rows))


def _outline(part: Part) -> shapely.Polygon:
    """All that a part covers, without openings; of several bodies what a tight band around them holds."""
    bodies = [v.curve.polygon(FINE) for v in part.drawing.loops if v.depth == 0]
    whole = shapely.union_all(bodies)
    return whole if isinstance(whole, shapely.Polygon) else shapely.convex_hull(whole)
