"""What a round cutter of a diameter would not reach, and the largest one that reaches everything."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from attrs import define, frozen

from kerfwright.arrays import Bools, Floats
from kerfwright.reaching import step, unreached
from kerfwright.shrinking import shrunk
from kerfwright.sweep import rings_of

__all__ = ["Missed", "Waste", "waste"]

ENOUGH = 0.01
"""A cutter that misses no more than this (mm) reaches: drawings made of coarse chords have corners that no cutter reaches."""
SHARP = 0.25
"""A bend (rad) from which a vertex is a sharp inside corner: a cutter of 3 mm misses more than `ENOUGH` there."""
AROUND = 50.0
"""How far (mm) around the pieces a cutter is thought to come."""
MOST = 10.0
"""Cutters above this (mm) are not asked about: no light router turns them."""


@frozen
class Missed:
    """A place that a cutter does not reach, and how far it stays away (mm)."""

    at: tuple[float, float]
    by: float


@define(frozen=True, eq=False)
class Waste:
    """An area to be cut away, and its sharp inside corners (n, 2), which no round cutter reaches: the bend (rad) of each,
    and how much straight wall it has on its shorter side (mm).
    """

    area: shapely.Geometry
    corners: Floats
    bends: Floats
    room: Floats
    outside: shapely.Geometry

    def missed(self, diameter: float) -> Missed | None:
        """The worst place that a smaller cutter would reach and this one does not; None where there is none."""
        r = diameter / 2
        points = unreached(self.area, r)
        if len(points):
            points = points[shapely.distance(shapely.points(points), self.outside) > 1e-6]
        if not len(points):
            return None
        centers = shrunk(self.area, r)
        at = shapely.points(points)
        by = np.full(len(at), math.inf) if centers.is_empty else shapely.distance(at, centers) - r
        bad = np.flatnonzero((by > ENOUGH) & ~self._corners(points, r))
        if not len(bad):
            return None
        # the first of the worst, in reading order, so that every run names the same
        worst = bad[np.lexsort((points[bad, 0], points[bad, 1], -np.round(np.minimum(by[bad], 1e6), 3)))[0]]
        return Missed((float(points[worst, 0]), float(points[worst, 1])), float(by[worst]))

    def _corners(self, points: Floats, r: float) -> Bools:
        """Which points lie where any cutter of this radius rounds a sharp corner."""
        length = r * np.tan(np.minimum(self.bends, math.pi - 1e-3) / 2)
        fit = length <= self.room + 1e-6
        out = np.zeros(len(points), np.bool_)
        if fit.any():
            tree, near = shapely.STRtree(shapely.points(points)), length[fit] + step(r)
            out[tree.query(shapely.points(self.corners[fit]), predicate="dwithin", distance=near)[1]] = True
        return out

    def largest(self, cutters: Sequence[float]) -> tuple[float, Missed | None]:
        """Diameter (mm, rounded down to 0.01) of the largest cutter that reaches all that is not a sharp corner, `MOST` at
        most and 0 where even 0.1 mm is too much; and what limits it. `cutters` are diameters that are asked first.
        """
        low, high, limit = 0.0, MOST, None
        for d in sorted({*cutters, 0.1, MOST}):
            found = self.missed(d)
            if found is not None:
                high, limit = d, found
                break
            low = d
        if limit is None:
            return MOST, None
        while high - low > 0.005:
            middle = (low + high) / 2
            found = self.missed(middle)
            low, high, limit = (middle, high, limit) if found is None else (low, middle, found)
        return math.floor(round(high, 3) * 100 + 1e-6) / 100, limit


def waste(standing: shapely.Geometry) -> Waste:
    """What is cut away around pieces and in their openings; `standing` are the pieces in plan."""
    x0, y0, x1, y1 = standing.bounds
    box = shapely.box(x0 - AROUND, y0 - AROUND, x1 + AROUND, y1 + AROUND)
    area = shapely.orient_polygons(shapely.difference(box, standing))
    found = [_sharp(shapely.get_coordinates(ring)[:-1]) for ring in rings_of(area)]
    corners, bends, room = (np.concatenate([f[k] for f in found]) for k in range(3))
    inside = shapely.distance(shapely.points(corners), box.exterior) > 1e-6 if len(corners) else np.zeros(0, bool)
    return Waste(area, corners[inside], bends[inside], room[inside], box.exterior)


def _sharp(p: Floats) -> tuple[Floats, Floats, Floats]:
    """Sharp corners of a ring, waste on the left: points, bends, and the length of wall to the next vertex that is sharp
    either way, on the shorter side; half of it where that is such a corner too.
    """
    way = np.roll(p, -1, axis=0) - p
    before = np.roll(way, 1, axis=0)
    bend = np.arctan2(before[:, 0] * way[:, 1] - before[:, 1] * way[:, 0], (before * way).sum(1))
    marked = np.flatnonzero(np.abs(bend) >= SHARP)
    s = np.concatenate([[0.0], np.cumsum(np.hypot(*way.T))])
    if len(marked) < 2:
        room = np.full(len(marked), s[-1])
    else:
        ahead = np.diff(np.append(s[marked], s[marked[0]] + s[-1]))
        corner = bend[marked] > 0
        ahead = np.where(corner & np.roll(corner, -1), ahead / 2, ahead)
        room = np.minimum(ahead, np.roll(ahead, 1))
    inner = bend[marked] > 0
    return p[marked][inner], bend[marked][inner], room[inner]
