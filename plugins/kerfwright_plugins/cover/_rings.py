"""Rings of an area, one inside the other: what covers are made of."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Floats, Ints
from kerfwright.errors import NoRoom
from kerfwright.offset import offset

__all__ = ["SLACK", "rings"]

SLACK = 0.01
"""By how much (mm) a cutter's radius is taken smaller where coverage is judged; the advance leaves room for it."""


def rings(region: shapely.Polygon, radius: float, advance: float) -> tuple[Any, Ints]:
    """The region shrunk by `advance` again and again: polygons (n,) in cutting order, and each one's parent, -1 for none.

    Each follows all that lies in it. Up to half of the diameter apart nothing stays between their rings; further apart
    only cusps in corners, for a polygon that would keep a strip in its middle holds one more. Raises NoRoom where there
    is no region.
    """
    if shapely.is_empty(region):
        raise NoRoom("the area has no place for the cutter's center")
    full = advance <= radius
    step = min(advance, radius - 2 * SLACK) if full else advance
    x0, y0, x1, y1 = shapely.bounds(region)
    levels, polygons = _shrunk(region, np.arange(0.0, min(x1 - x0, y1 - y0) / 2 + step, step))
    order, parent = _inner_first(polygons, levels)
    polygons, levels = polygons[order], levels[order]
    leaf = ~np.isin(np.arange(len(polygons)), parent)
    if full:  # a polygon so thin that the ring around it clears it too is not needed
        thin = shapely.is_empty(shapely.buffer(polygons[leaf], -(radius - SLACK - step), quad_segs=8))
        leaf[leaf] = thin
        keep = ~leaf | (parent < 0)
        place = np.append(np.cumsum(keep) - 1, -1)
        return polygons[keep], place[parent[keep]]
    more, own = shapely.get_parts(offset(polygons[leaf], -(radius - 2 * SLACK)), return_index=True)
    levels = np.concatenate([levels, levels[leaf][own] + 1])
    polygons = np.concatenate([polygons, more])
    order, parent = _inner_first(polygons, levels)
    return polygons[order], parent


def _shrunk(region: shapely.Polygon, distances: Floats, at_once: int = 16) -> tuple[Ints, Any]:
    """Polygons (n,) of the region shrunk by each distance, and which distance each belongs to; stops once it is gone.

    All from the one region, so that errors do not add up from ring to ring.
    """
    levels, polygons = [], []
    for a in range(0, len(distances), at_once):
        grown = offset(region, -distances[a : a + at_once])
        parts, level = shapely.get_parts(grown, return_index=True)
        polygons.append(parts)
        levels.append(level + a)
        if shapely.is_empty(grown[-1]):
            break
    return np.concatenate(levels), np.concatenate(polygons)


def _inner_first(polygons: Any, levels: Ints) -> tuple[Ints, Ints]:
    """An order where each follows all that lies in it and the branches of one stay together; parents in that order."""
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
    place = np.full(len(order) + 1, -1, np.int64)
    place[order] = np.arange(len(order))
    return order, place[parent[order]]
