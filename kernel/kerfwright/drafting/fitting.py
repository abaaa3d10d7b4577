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
MOST = 6.5
"""Cutters above this (mm) are not asked about: no material of the tables has rates for them."""
SLACK = 0.15
"""By how much (mm) a cutter may be too large for an arc that turns by 60 degrees and yet miss no more than `ENOUGH` there."""


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
            points = points[~self._corners(points, r)]
        if not len(points):
            return None
        by = _away(points, shrunk(self.area, r)) - r
        bad = np.flatnonzero(by > ENOUGH)
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

    def largest(self, cutters: Sequence[float], radius: float | None) -> tuple[float, Missed | None]:
        """Diameter (mm, down to 0.01) of the largest cutter that reaches all that is not a sharp corner, `MOST` at most and
        0 where even 0.1 mm is too much; and what limits it. `cutters` are diameters that are asked first, and those at the
        smallest inside `radius`: where one fits and one that is larger by `SLACK` does not, that is what limits.
        """
        arc = None if radius is None else 2 * radius
        low, high, limit = 0.0, MOST, None
        for d in sorted({*(d for d in cutters if d < MOST), 0.1, MOST, *_near(arc)}):
            found = self.missed(d)
            if found is not None:
                high, limit = d, found
                break
            low = d
        if limit is None:
            return MOST, None
        while high - low > 0.005 and (arc is None or not arc <= low <= high <= arc + SLACK):
            middle = (low + high) / 2
            found = self.missed(middle)
            low, high, limit = (middle, high, limit) if found is None else (low, middle, found)
        if arc is not None and arc <= low <= arc + SLACK:
            return arc, limit
        return math.floor(round(high, 3) * 100 + 1e-6) / 100, limit


def _near(arc: float | None) -> tuple[float, ...]:
    """Diameters just below an arc's and `SLACK` above."""
    return () if arc is None else tuple(d for d in (arc, arc + SLACK) if 0.1 < d < MOST)


def _away(points: Floats, area: shapely.Geometry) -> Floats:
    """How far points (n, 2) lie from an area that none of them lies in (mm); inf where there is no area."""
    rings = rings_of(area)
    if not len(rings):
        return np.full(len(points), math.inf)
    p, ring = shapely.get_coordinates(rings, return_index=True)
    edges = shapely.linestrings(np.stack([p[:-1], p[1:]], axis=1)[np.diff(ring) == 0])
    (which, _), far = shapely.STRtree(edges).query_nearest(
        shapely.points(points), all_matches=False, return_distance=True
    )
    out = np.full(len(points), math.inf)
    out[which] = far
    return out


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
