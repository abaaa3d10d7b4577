"""What of a wide area the sweeps leave, told without joining them: most of it lies deep inside one sweep or another."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from attrs import frozen

from kerfwright.arrays import Ints
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
    trees = [(r, k, shapely.STRtree(cut.lines[k])) for r in cut.sizes for k in [np.flatnonzero(cut.radius == r)]]
    grid = _Grid(area.bounds[0], area.bounds[1], min(cut.sizes))
    count = np.ceil((np.array(area.bounds[2:]) - area.bounds[:2]) / grid.size).astype(int) + 1
    cells: Ints = np.stack(np.meshgrid(np.arange(count[0]), np.arange(count[1])), axis=-1).reshape(-1, 2)
    for last in (False, False, True):
        open_ = np.ones(len(cells), bool)
        middle = grid.middles(cells)
        for r, _, tree in trees:
            inside = r + GROW - CHORDS - grid.size / np.sqrt(2)
            if inside > 0:
                open_[tree.query(middle, predicate="dwithin", distance=inside)[0]] = False
        cells = cells[open_]
        cells = cells[shapely.intersects(area, grid.boxes(cells, cells + 1))]
        if not last:
            grid = _Grid(grid.x, grid.y, grid.size / 2)
            cells = (2 * cells[:, None] + np.array([[0, 0], [1, 0], [0, 1], [1, 1]])).reshape(-1, 2)
    parts = shapely.intersection(_tiles(area, cells, grid), grid.boxes(cells, cells + 1))
    middle = grid.middles(cells)
    left = [_left(parts[k : k + MANY], middle[k : k + MANY], grid.size, cut, trees) for k in range(0, len(cells), MANY)]
    return _parts(np.concatenate([np.zeros(0, object), *left]))


@frozen
class _Grid:
    """Square cells counted from a corner. Neighbours get the same number for the edge between them: else a gap of rounding
    would part what is left on both its sides.
    """

    x: float
    y: float
    size: float

    def boxes(self, low: Ints, high: Ints) -> Any:
        """Boxes (n,) from cells `low` to before cells `high`, (n, 2)."""
        (x0, y0), (x1, y1) = low.T, high.T
        s = self.size
        return shapely.box(self.x + x0 * s, self.y + y0 * s, self.x + x1 * s, self.y + y1 * s)

    def middles(self, cells: Ints) -> Any:
        """Points (n,)."""
        return shapely.points((cells + 0.5) * self.size + [self.x, self.y])


def _tiles(area: shapely.Geometry, cells: Ints, grid: _Grid) -> Any:
    """The part of the area around each cell: halved until it is small, because every cell that is cut out of a part goes
    through all of that part.
    """
    out = np.full(len(cells), area, object)
    todo: list[tuple[shapely.Geometry, Ints]] = [(area, np.arange(len(cells)))] if len(cells) else []
    while todo:
        part, mine = todo.pop()
        low, high = cells[mine].min(0), cells[mine].max(0) + 1
        k = int(np.argmax(high - low))
        if high[k] - low[k] < 8 or shapely.get_num_coordinates(part) < 64:
            out[mine] = part
            continue
        below = cells[mine, k] < (low[k] + high[k]) // 2
        for half in (mine[below], mine[~below]):
            if len(half):
                (box,) = grid.boxes(cells[half].min(0)[None], cells[half].max(0)[None] + 1)
                todo.append((shapely.intersection(part, box), half))
    return out


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
