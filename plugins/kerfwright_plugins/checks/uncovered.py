"""What of a wide area the sweeps leave, told without joining them: most of it lies deep inside one sweep or another."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Floats, Ints
from kerfwright.evidence import Cutting

__all__ = ["uncovered"]

GROW = 0.002
"""Sweeps grow by this (mm) against slivers."""
CHORDS = 0.0005
"""Sweeps lie inside the true ones by so much (mm) at most."""
MANY = 20_000
"""Cells that are worked on at a time: sweeps take much memory."""


def uncovered(area: shapely.Geometry, cut: Cutting) -> Any:
    """Polygons (k,) of an area that no sweep of `cut`, grown by 0.002 mm, covers.

    Cells that lie inside one sweep are passed over by the distance of their middle, the others quartered; from the smallest,
    along walls, sweeps are taken one by one, the nearest first.
    """
    if not len(cut):
        return _parts(np.atleast_1d(np.array(area, object)))
    shapely.prepare(area)
    size = min(cut.sizes)
    x0, y0, x1, y1 = area.bounds
    x, y = np.meshgrid(np.arange(x0, x1, size), np.arange(y0, y1, size))
    corner: Floats = np.column_stack([x.ravel(), y.ravel()])
    trees = [(r, k, shapely.STRtree(cut.lines[k])) for r in cut.sizes for k in [np.flatnonzero(cut.radius == r)]]
    for last in (False, False, True):
        open_ = np.ones(len(corner), bool)
        middle = shapely.points(corner + size / 2)
        for r, _, tree in trees:
            inside = r + GROW - CHORDS - size / np.sqrt(2)
            if inside > 0:
                open_[tree.query(middle, predicate="dwithin", distance=inside)[0]] = False
        corner = corner[open_]
        corner = corner[shapely.intersects(area, shapely.box(*corner.T, *(corner + size).T))]
        if not last:
            size /= 2
            corner = (corner[:, None] + size * np.array([[0, 0], [1, 0], [0, 1], [1, 1]])).reshape(-1, 2)
    cell, of = _tiles(area, corner, size)
    cell = shapely.intersection(cell, of)
    middle = shapely.points(corner + size / 2)
    left = [_left(cell[k : k + MANY], middle[k : k + MANY], size, cut, trees) for k in range(0, len(corner), MANY)]
    return _parts(np.concatenate([np.zeros(0, object), *left]))


def _tiles(area: shapely.Geometry, corner: Floats, size: float) -> tuple[Any, Any]:
    """Square cells by their corners, and for each the part of the area around it: halved until it is small, because every
    cell that is cut out of a part goes through all of that part.
    """
    out = np.full(len(corner), area, object)
    todo: list[tuple[shapely.Geometry, Ints]] = [(area, np.arange(len(corner)))]
    while todo:
        part, mine = todo.pop()
        low, high = corner[mine].min(0), corner[mine].max(0) + size
        k = int(np.argmax(high - low))
        if high[k] - low[k] < 8 * size or shapely.get_num_coordinates(part) < 64:
            out[mine] = part
            continue
        at = low[k] + size * round((high[k] - low[k]) / size / 2)
        for half in (mine[corner[mine, k] < at - size / 2], mine[corner[mine, k] > at - size / 2]):
            if len(half):
                box = shapely.box(*corner[half].min(0), *(corner[half].max(0) + size))
                todo.append((shapely.intersection(part, box), half))
    return shapely.box(*corner.T, *(corner + size).T), out


def _left(left: Any, middle: Any, size: float, cut: Cutting, trees: Any) -> Any:
    """What is left of the area in square cells around their middles, an array of geometries."""
    for r, k, tree in trees:
        cell, line = tree.query_nearest(middle, all_matches=False, max_distance=r + GROW + size)
        left[cell] = _without(left[cell], k[line], cut)
    some = np.flatnonzero(~shapely.is_empty(left))
    left, middle = left[some], middle[some]
    for r, k, tree in trees:
        cell, line = tree.query(left, predicate="dwithin", distance=r + GROW)
        order = np.lexsort((shapely.distance(middle[cell], cut.lines[k[line]]), cell))
        cell, line = cell[order], k[line[order]]
        nth = np.arange(len(cell)) - np.searchsorted(cell, cell)
        for turn in range(int(nth.max(initial=-1)) + 1):
            now = nth == turn
            now[now] = ~shapely.is_empty(left[cell[now]])
            left[cell[now]] = _without(left[cell[now]], line[now], cut)
    return left[~shapely.is_empty(left)]


def _without(left: Any, line: Ints, cut: Cutting) -> Any:
    """Geometries (n,) without the sweep of one line each, (n,)."""
    some, back = np.unique(line, return_inverse=True)
    return shapely.difference(left, cut.take(some).sweeps(GROW)[back])


def _parts(left: Any) -> Any:
    """Polygons of geometries that may touch, joined."""
    parts = shapely.get_parts(shapely.union_all(left))
    return parts[shapely.area(parts) > 0]
