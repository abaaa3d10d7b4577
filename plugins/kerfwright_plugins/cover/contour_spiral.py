"""An area cleared in spirals."""

from __future__ import annotations

from typing import Any, ClassVar

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.offset import recover, recover_lines, rings_of
from kerfwright.strategy import Cover
from kerfwright_plugins.cover._detours import detoured
from kerfwright_plugins.cover._rings import rings

__all__ = ["ContourSpiral"]

POINTS = 200
"""Of a ring at least: so many that where the lap bends they miss it by a hundredth of the advance at most."""
APART = 0.002
"""By how much (mm) a lap may miss the rings it runs between, and the advance."""


@define(frozen=True, kw_only=True)
class ContourSpiral(Cover):
    """Unbroken spirals that grow from the middle to the wall (ISO 14649-11's contour_spiral), without stepping over.

    A cell is where rings lie one in the other without branching and hold no island. In each cell one way goes around
    the innermost ring, from there to the next a little with each stretch, and so on; the last lap is the outermost ring.
    No point of a lap is further from the next one than the advance. Where rings are too ragged for that (an arm that the
    ring inside does not enter), one is gone around whole and the next after a step, still without a break. Islands are
    cleared in closed rings around them, as contour_parallel does. What would be left in corners is taken by short detours.
    """

    name: ClassVar[str] = "contour_spiral"

    def cover(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
        """An open curve for each cell, closed rings around islands. Raises NoRoom where there is no region."""
        polygons, parent = rings(region, radius, 0.99 * advance)  # a lap misses its place by that much at most
        curves: list[Curve] = []
        for cell in _cells(polygons, parent):
            outlines = [g.exterior for g in polygons[cell]]
            curves += [_one(_spiral(outlines, advance))] if len(cell) > 1 else recover(rings_of(polygons[cell]))
        return detoured(region, curves, radius)


def _cells(polygons: Any, parent: Ints) -> list[Ints]:
    """Runs of the order, each with one in the next and no island."""
    plain = shapely.get_num_interior_rings(polygons) == 0
    children = np.bincount(parent[parent >= 0], minlength=len(polygons))
    goes_on = (parent[:-1] == np.arange(1, len(polygons))) & (children[1:] == 1) & plain[:-1] & plain[1:]
    return np.split(np.arange(len(polygons)), np.flatnonzero(~goes_on) + 1)


def _one(laps: list[Floats]) -> Curve:
    """One curve of all laps, each begun where the one before ends."""
    begun = [laps[0], *[np.vstack([a[-1:], b]) for a, b in zip(laps, laps[1:], strict=False)]]
    lines = [shapely.LineString(p) for p in begun]
    return Curve.join(recover_lines(lines[:-1], 0.002) + recover_lines(lines[-1:]))


def _spiral(outlines: list[shapely.LinearRing], advance: float) -> list[Floats]:
    """Laps, each a run of points, from the innermost of closed outlines to the outermost.

    How far along its lap a point is, from 0 to 1, it has from the nearest point of the ring inside. So lap follows lap
    across the cut, however long each ring is. Where they would lie further apart than `advance`, the ring inside is
    gone around whole, then the next, with a step in between.
    """
    points = _seamed(outlines[0], None)
    along = _length(points) / _length(points)[-1]
    way, last, inner = [points], points, points
    for outline in outlines[1:]:
        points, low = _seamed(outline, inner[0]), shapely.LineString(inner)
        at = shapely.line_locate_point(low, shapely.points(points))
        back = shapely.get_coordinates(shapely.line_interpolate_point(low, at))
        around = shapely.buffer(shapely.Polygon(points), APART, quad_segs=2)
        shapely.prepare(around)
        lap, f = _lap(points, back, _at_seam(np.interp(at, _length(inner), along)), around)
        high = shapely.LineString(lap)
        shapely.prepare(high)
        fits = shapely.covers(around, high)
        fits = fits and not shapely.intersects(shapely.buffer(shapely.Polygon(inner), -APART, quad_segs=2), high)
        if not fits or not shapely.dwithin(high, shapely.points(last), advance).all():
            if last is not inner:
                way.append(inner)
            lap, f = points, _length(points) / _length(points)[-1]
        way.append(lap)
        last, along, inner = lap, f, points
    if last is not inner:
        way.append(inner)
    return way


def _lap(points: Floats, back: Floats, f: Floats, around: shapely.Geometry) -> tuple[Floats, Floats]:
    """A fraction f (m,) of the way from the ring inside (at `back`) to `points` of the next, and f as it came out.

    It counts across the cut: what is left to the outer ring is 1 - f of the distance between rings. Where the way there
    would leave the outer ring, in arms that the ring inside does not enter, the lap is that ring itself.
    """
    out = points - back
    blind = ~shapely.covers(around, shapely.linestrings(np.stack([back, points], axis=1)))
    f = np.where(blind, 1.0, f)
    t = f.copy()
    far = np.hypot(*out.T)
    apart = float(far.min())
    k = np.flatnonzero((far > 1.001 * apart) & (f > 0) & (f < 1))
    if len(k):
        ring = shapely.LineString(points)
        shapely.prepare(ring)
        low, high = np.zeros(len(k)), np.ones(len(k))
        want = (1 - f[k]) * apart
        over, under, side = apart - want, want.copy(), np.zeros(len(k))
        for _ in range(5):  # false position, and what has stayed twice counts half
            t[k] = (low * under + high * over) / (over + under)
            miss = shapely.distance(ring, shapely.points(back[k] + t[k, None] * out[k])) - want
            deep = miss > 0
            over, under = np.where(deep, miss, over), np.where(deep, under, -miss)
            over = np.where(~deep & (side < 0), over / 2, over)
            under = np.where(deep & (side > 0), under / 2, under)
            low, high, side = np.where(deep, t[k], low), np.where(deep, high, t[k]), np.where(deep, 1, -1)
            over, under = np.maximum(over, 1e-12), np.maximum(under, 1e-12)
    lap: Floats = back + t[:, None] * out
    return lap, f


def _seamed(outline: shapely.LinearRing, near: Floats | None) -> Floats:
    """Points of a closed outline, close together, from the one nearest to `near`, else from the middle of the longest edge."""
    points = shapely.get_coordinates(shapely.simplify(outline, 0.0005))
    if near is None:
        edge = np.hypot(*np.diff(points, axis=0).T)
        k = int(np.argmax(np.round(edge, 6)))
        seam = (points[k] + points[k + 1]) / 2
    else:
        line = shapely.LineString(points)
        s = shapely.line_locate_point(line, shapely.Point(near))
        seam = shapely.get_coordinates(shapely.line_interpolate_point(line, s))[0]
        k = min(int(np.searchsorted(_length(points), s, side="right")) - 1, len(points) - 2)
    turned = shapely.LineString(np.vstack([seam, points[k + 1 : -1], points[: k + 1], seam]))
    dense: Floats = shapely.get_coordinates(shapely.segmentize(turned, shapely.length(turned) / POINTS))
    return dense


def _at_seam(f: Floats) -> Floats:
    """0 at the first point and 1 at the last: close to them the nearest point may lie on the other side of the seam."""
    n = len(f)
    wrong = np.cumsum(f <= 0.5) == 0
    f = np.where(wrong & (np.arange(n) < n / 4), 0.0, f)
    wrong = np.cumsum(f[::-1] >= 0.5)[::-1] == 0
    f = np.where(wrong & (np.arange(n) > n - n / 4), 1.0, f)
    f[0], f[-1] = 0.0, 1.0
    return f


def _length(points: Floats) -> Floats:
    """Length of the way to each point."""
    s: Floats = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    return s
