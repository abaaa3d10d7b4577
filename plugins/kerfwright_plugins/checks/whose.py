"""Which operations a cut may belong to: told by its cutter and its place, for the text names no operation."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from kerfwright.arrays import Bools
from kerfwright.evidence import Cutting, Evidence
from kerfwright_plugins.checks.target import target

__all__ = ["owners"]

BESIDE = 2.0
"""Leads, allowances and loops of a trochoid stay within this many diameters of a wall, and 2 mm besides."""

ROUGH = 0.05
"""How far outlines are simplified before they are widened (mm)."""


def owners(evidence: Evidence, lines: Cutting) -> dict[int, Bools]:
    """By index of the operation, which of some lines (k,) may be its cuts. A line near none may be anybody's with that cutter."""
    course, setup = evidence.course, evidence.setup
    number = np.array([c.number for c in course.cutters] + [0])[course.cutter[lines.first]]
    same = {w.index: number == w.operation.cutter.number for w in setup.works}
    if len({w.operation.cutter.number for w in setup.works}) == len(setup.works):
        return same
    by_work: dict[int, list[shapely.Geometry]] = {w.index: [] for w in setup.works}
    for must in evidence.shared(target).musts:
        by_work[must.work.index] += [must.area] if must.area is not None else list(must.wall)
    near: dict[int, Bools] = {}
    for work in setup.works:
        reach = BESIDE * work.operation.cutter.cuts + 2.0
        mine = np.full(len(lines), not by_work[work.index])  # of which no place is known, all of it may be its
        if by_work[work.index]:
            around = _around(by_work[work.index], reach)
            i, j = shapely.STRtree(around).query(lines.lines)
            mine[i[shapely.intersects(around[j], lines.lines[i])]] = True
        near[work.index] = mine & same[work.index]
    lost = ~np.any(list(near.values()), axis=0)
    return {k: v | (lost & same[k]) for k, v in near.items()}


def _around(geometries: list[shapely.Geometry], reach: float) -> NDArray[Any]:
    """What lies within reach of some walls and areas: made once, as asking each line for its distance to a wide pocket is slow.

    Rough corners do no harm: the reach itself is a guess with room to spare.
    """
    plain = shapely.simplify(geometries, ROUGH)
    wide: NDArray[Any] = shapely.get_parts(shapely.union_all(shapely.buffer(plain, reach + ROUGH, quad_segs=4)))
    shapely.prepare(wide)
    return wide
