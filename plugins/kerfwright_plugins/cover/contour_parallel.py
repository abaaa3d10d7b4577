"""An area cleared in rings."""

from __future__ import annotations

from typing import Any, ClassVar

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.strategy import Cover
from kerfwright.sweep import unswept

__all__ = ["ContourParallel"]

SLACK = 0.01
"""By how much (mm) a cutter's radius is taken smaller where coverage is judged; the advance leaves room for it."""


@define(frozen=True, kw_only=True)
class ContourParallel(Cover):
    """Rings parallel to the wall (ISO 14649-11's contour_parallel), the innermost first, each island's with the ring around it.

    Up to half of the diameter between rings nothing stays between them. Further apart, cusps in corners and a strip in the
    middle would stay: they are cut first, each by its piece of a ring in between, while the material around still holds them.
    """

    name: ClassVar[str] = "contour_parallel"

    def cover(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
        """Closed rings, and short open cuts in cusps. Raises NoRoom where something would be left all the same."""
        if shapely.is_empty(region):
            raise NoRoom("the area has no place for the cutter's center")
        full = advance <= radius
        step = min(advance, radius - 2 * SLACK) if full else advance
        thin = radius - SLACK - step if full else SLACK
        curves = recover(rings_of(_needed(*_rings(region, 0.0, step), thin)))
        if full:
            return curves
        missed = unswept(region, curves, radius, SLACK)
        if len(missed):
            curves = _between(region, missed, radius, step) + curves
            missed = unswept(region, curves, radius, SLACK)
        if len(missed):
            x, y = shapely.get_coordinates(shapely.point_on_surface(missed[np.argmax(shapely.area(missed))]))[0]
            raise NoRoom(
                f"rings {advance:.2f} mm apart leave material near ({x:.2f}, {y:.2f}); set radial_depth to 0.5 or less"
            )
        return curves


def _between(region: shapely.Polygon, missed: Any, radius: float, step: float) -> list[Curve]:
    """Pieces of the rings as far off the wall as the inner end of a cusp asks; closed where a whole ring is near one."""
    near = shapely.union_all(shapely.buffer(missed, radius, quad_segs=16))
    shapely.prepare(near)
    out = []
    for ring in rings_of(_rings(region, step - radius + 2 * SLACK, step)[0]):
        if shapely.covers(near, ring):
            out += recover([ring])
            continue
        run = shapely.line_merge(shapely.intersection(shapely.LineString(ring.coords), near))
        out += [_along(ring, shapely.get_coordinates(g)) for g in shapely.get_parts(run) if g.length > 0]
    return out


def _along(ring: shapely.LinearRing, points: Floats) -> Curve:
    """A piece of a ring, in the ring's direction: an intersection may turn it round."""
    a, b = shapely.line_locate_point(ring, shapely.points(points[:2]))
    return Curve.line(points if (b - a) % ring.length < ring.length / 2 else points[::-1])


def _rings(region: shapely.Polygon, first: float, step: float) -> tuple[Any, Ints]:
    """The region shrunk by `first`, then by `step` more each time: polygons (n,) in cutting order, and each one's parent.

    All from the one region, so that errors do not add up from ring to ring.
    """
    x0, y0, x1, y1 = shapely.bounds(region)
    levels, polygons = _shrunk(region, np.arange(first, min(x1 - x0, y1 - y0) / 2 + step, step))
    return _inner_first(polygons, levels)


def _needed(polygons: Any, parent: Ints, most: float) -> Any:
    """Without those that hold no other and are so thin (half width `most` at most) that the rings around clear them too."""
    thin = shapely.is_empty(shapely.buffer(polygons, -most, quad_segs=8))
    leaf = ~np.isin(np.arange(len(polygons)), parent)
    return polygons[~(thin & leaf & (parent >= 0))]


def _shrunk(region: shapely.Polygon, distances: Floats, at_once: int = 16) -> tuple[Ints, Any]:
    """Polygons (n,) of the region shrunk by each distance, and which distance each belongs to; stops once it is gone."""
    levels, polygons = [], []
    for a in range(0, len(distances), at_once):
        grown = offset(region, -distances[a : a + at_once])
        parts, level = shapely.get_parts(grown, return_index=True)
        polygons.append(parts)
        levels.append(level + a)
        if shapely.is_empty(grown[-1]):
            break
    return np.concatenate(levels), np.concatenate(polygons)


def _inner_first(polygons: Any, levels: Ints) -> tuple[Any, Ints]:
    """In an order where each follows all that lies in it and the branches of one stay together; parents, -1 for none."""
    inner, outer = shapely.STRtree(polygons).query(shapely.point_on_surface(polygons), predicate="intersects")
    around = levels[outer] == levels[inner] - 1
    parent = np.full(len(polygons), -1)
    parent[inner[around]] = outer[around]
    children: list[list[int]] = [[] for _ in polygons]
    for k, p in enumerate(parent.tolist()):
        if p >= 0:
            children[p].append(k)
    found: list[int] = []
    stack = np.flatnonzero(parent < 0).tolist()
    while stack:
        k = stack.pop()
        found.append(k)
        stack += children[k]
    order = np.array(found[::-1], np.int64)
    place = np.empty(len(order) + 1, np.int64)
    place[order], place[-1] = np.arange(len(order)), -1
    return polygons[order], place[parent[order]]
