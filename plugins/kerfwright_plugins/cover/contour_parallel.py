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
    middle would stay: they are cut first, each by its piece of the ring half-way, while the material around still holds them.
    """

    name: ClassVar[str] = "contour_parallel"

    def cover(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
        """Closed rings, and short open cuts in cusps. Raises NoRoom where something would be left all the same."""
        if shapely.is_empty(region):
            raise NoRoom("the area has no place for the cutter's center")
        full = advance <= radius
        step = min(advance, radius - 2 * SLACK) if full else advance
        curves = recover(self._rings(region, step))
        if full:
            return curves
        missed = unswept(region, curves, radius, SLACK)
        if not len(missed):
            return curves
        curves = self._between(region, missed, step) + curves
        left = unswept(region, curves, radius, SLACK)
        if len(left):
            x, y = shapely.get_coordinates(shapely.point_on_surface(left[np.argmax(shapely.area(left))]))[0]
            raise NoRoom(
                f"rings {advance:.2f} mm apart leave material near ({x:.2f}, {y:.2f}); radial_depth 0.5 or less"
            )
        return curves

    def _rings(self, region: shapely.Polygon, step: float) -> Any:
        """All rings in cutting order, by distances from the one region: errors do not add up from ring to ring."""
        levels, polygons = _shrunk(region, _distances(region, 0.0, step))
        order = _inner_first(polygons, levels)
        return rings_of(polygons[order])

    def _between(self, region: shapely.Polygon, missed: Any, step: float) -> list[Curve]:
        """Pieces of the rings half-way between, where they pass what is missed: closed where they lie in it whole."""
        levels, polygons = _shrunk(region, _distances(region, step / 2, step))
        order = _inner_first(polygons, levels)
        near = shapely.union_all(shapely.buffer(missed, step / 2 + SLACK, quad_segs=16))
        shapely.prepare(near)
        rings = rings_of(polygons[order])
        whole = shapely.contains_properly(near, rings)
        out = []
        for ring, inside in zip(rings, whole, strict=True):
            if inside:
                out += recover([ring])
                continue
            run = shapely.line_merge(shapely.intersection(shapely.LineString(ring.coords), near))
            out += [Curve.line(shapely.get_coordinates(g)) for g in shapely.get_parts(run) if g.length > 0]
        return out


def _distances(region: shapely.Polygon, first: float, step: float) -> Floats:
    x0, y0, x1, y1 = shapely.bounds(region)
    return np.arange(first, min(x1 - x0, y1 - y0) / 2 + step, step)


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


def _inner_first(polygons: Any, levels: Ints) -> Ints:
    """Order in which each polygon follows all that lies in it, and the branches of one stay together."""
    inner, outer = shapely.STRtree(polygons).query(shapely.point_on_surface(polygons), predicate="intersects")
    around = levels[outer] == levels[inner] - 1
    parent = np.full(len(polygons), -1)
    parent[inner[around]] = outer[around]
    children: list[list[int]] = [[] for _ in polygons]
    for k, p in enumerate(parent.tolist()):
        if p >= 0:
            children[p].append(k)
    order: list[int] = []
    stack = np.flatnonzero(parent < 0).tolist()
    while stack:
        k = stack.pop()
        order.append(k)
        stack += children[k]
    return np.array(order[::-1], np.int64)
