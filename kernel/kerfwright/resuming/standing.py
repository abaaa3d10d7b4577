"""How each piece stands after a stop: finished, doubtful or untouched."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.evidence import Evidence
from kerfwright.resumption import Standing
from kerfwright.setup import Setup

__all__ = ["standings"]

NEAR = 0.01
"""A sweep that ends this near to a piece has touched it (mm)."""
SAME = 0.005
"""A way this near to one that was cut before, at its depth or deeper, takes nothing new (mm)."""


def standings(sure: Evidence, perhaps: Evidence, left: Evidence, proved: bool) -> tuple[Standing, ...]:
    """One for each piece. `sure` was cut beyond doubt, `perhaps` may have been cut since, `left` is what comes after `sure`.

    Untouched: no cut that may have been made comes to it. Finished: it was touched, nothing new is left to be cut of it, and
    the sheet as it will be is `proved`. Doubtful is everything else.
    """
    setup = sure.setup
    areas = _areas(setup)
    begun, shaken = _touched(sure, areas), _touched(perhaps, areas)
    waiting = _waiting(sure, left, areas)
    out = []
    for p in setup.pieces:
        if p.index not in begun | shaken:
            state, why = "untouched", "nothing has cut it yet"
        elif p.index in shaken:
            state, why = "doubtful", "it was being cut: look at it, and measure it when the remainder has run"
        elif p.index in waiting:
            state, why = "doubtful", "begun and not finished; it was not being cut at the stop"
        elif not proved:
            state, why = "doubtful", "all of its cuts were made, but the finished sheet is not proved"
        else:
            state, why = "finished", "all of it was cut before the stop"
        out.append(Standing(p.part, setup.number, p.copy, state, why))
    return tuple(out)


def _areas(setup: Setup) -> Any:
    """All that lies inside a piece's outer outlines, openings too, (pieces,)."""
    out = np.empty(len(setup.pieces), object)
    for p in setup.pieces:
        out[p.index] = shapely.union_all([one.curve.polygon(0.0005) for one in p.loops if one.depth == 0])
    return out


def _chords(evidence: Evidence) -> tuple[Floats, Floats, Floats]:
    """Ends in plan (m, 2, 2), lowest Z of the full diameter and radius (m,) of each chord below the sheet's top."""
    course = evidence.course
    a, b, move = course.chords
    low = np.minimum(a[:, 2], b[:, 2]) + course.point[move]
    use = ~course.rapid[move] & (low < evidence.setup.heights.highest - 0.006) & np.isfinite(course.radius[move])
    ends = np.stack([a[use, :2], b[use, :2]], axis=1)
    ends[(ends[:, 0] == ends[:, 1]).all(axis=1), 1, 0] += 1e-7  # a tree passes over a line of no length
    return ends, low[use], course.radius[move][use]


def _pairs(ends: Floats, radius: Floats, areas: Any) -> tuple[Ints, Ints]:
    """Which chord comes to which piece."""
    if not len(ends) or not len(areas):
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    chord, piece = shapely.STRtree(areas).query(shapely.linestrings(ends), predicate="dwithin", distance=radius + NEAR)
    return chord, piece


def _touched(evidence: Evidence, areas: Any) -> set[int]:
    ends, _, radius = _chords(evidence)
    return set(_pairs(ends, radius, areas)[1].tolist())


def _waiting(sure: Evidence, left: Evidence, areas: Any) -> set[int]:
    """Pieces of which something new is still to be cut."""
    ends, low, radius = _chords(left)
    chord, piece = _pairs(ends, radius, areas)
    out = set()
    for k in np.unique(piece).tolist():
        mine = chord[piece == k]
        for z in np.unique(np.round(low[mine], 3)).tolist():  # the deepest first: there it shows soonest
            some = mine[np.round(low[mine], 3) == z]
            if not _cut_before(sure, ends[some], radius[some], z).all():
                out.add(k)
                break
    return out


def _cut_before(sure: Evidence, ends: Floats, radius: Floats, z: float) -> Bools:
    """Whether chords run along ways that the same cutter took at Z `z` or deeper, (m,)."""
    cut = sure.at(round(z + 0.002, 4))
    out = np.ones(len(ends), np.bool_)
    for r in np.unique(radius).tolist():
        lines, some = cut.lines[np.abs(cut.radius - r) < 1e-6], radius == r
        if not len(lines):
            out[some] = False
            continue
        tree = shapely.STRtree(lines)
        for f in (0.0, 0.5, 1.0):
            spots = shapely.points(ends[some, 0] * (1 - f) + ends[some, 1] * f)
            (which, _), _ = tree.query_nearest(spots, max_distance=SAME, return_distance=True, all_matches=False)
            near = np.zeros(int(some.sum()), np.bool_)
            near[which] = True
            out[some] &= near
    return out
