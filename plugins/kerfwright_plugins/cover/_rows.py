"""Rows along X in an area, joined to and fro along its walls."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.offset import rings_of

__all__ = ["rows"]

SHORT = 1e-3
"""Rows shorter than this (mm) are left out, and a link may stray by it from between its two rows."""


@define(frozen=True, eq=False)
class Lines:
    """Rows from bottom to top, left to right: X of both ends (n, 2), Y and level (n,), the boundary ring of each end (n, 2)."""

    x: Floats
    y: Floats
    level: Ints
    ring: Ints
    rings: Any
    part: shapely.Polygon
    apart: float

    def end(self, k: int, right: int) -> Floats:
        """One end of a row, (2,)."""
        return np.array([self.x[k, right], self.y[k]])


def rows(area: shapely.Geometry, advance: float) -> list[shapely.LineString]:
    """Ways in cutting order, each to and fro in one cell: a stretch where row lies on row, one on one.

    Rows lie `advance` apart at most, evenly in each part of the area. Cells are taken nearest first, from the lowest.
    """
    out: list[shapely.LineString] = []
    for part in shapely.get_parts(area):
        if shapely.is_empty(part):
            continue
        lines = _lines(part, advance)
        here = shapely.get_coordinates(out[-1])[-1] if out else np.array(shapely.bounds(part)[:2])
        out += _joined(lines, _in_order(lines, _cells(lines), here))
    return out


def _lines(part: shapely.Polygon, advance: float) -> Lines:
    """All rows of one part."""
    x0, y0, x1, y1 = shapely.bounds(part)
    low, high = y0 + min(SHORT, (y1 - y0) / 4), y1 - min(SHORT, (y1 - y0) / 4)
    levels = np.linspace(low, high, int(np.ceil((high - low) / advance)) + 1)
    ends = np.stack([np.column_stack([np.full(len(levels), x), levels]) for x in (x0 - 1, x1 + 1)], axis=1)
    pieces, row = shapely.get_parts(shapely.intersection(shapely.linestrings(ends), part), return_index=True)
    box = shapely.bounds(pieces)
    keep = box[:, 2] - box[:, 0] > SHORT
    order = np.lexsort((box[keep, 0], row[keep]))
    x, row = box[keep][:, [0, 2]][order], row[keep][order]
    rings = rings_of(part)
    shapely.prepare(part)
    points = shapely.points(np.stack([x, np.repeat(levels[row][:, None], 2, axis=1)], axis=2).reshape(-1, 2))
    which, ring = shapely.STRtree(rings).query_nearest(points, all_matches=False)
    return Lines(x, levels[row], row, ring[np.argsort(which, kind="stable")].reshape(-1, 2), rings, part, advance)


def _cells(lines: Lines) -> list[list[int]]:
    """Rows in runs: each overlaps one row of the next level, and that one no other of its own."""
    n = len(lines.level)
    first = np.searchsorted(lines.level, np.arange(lines.level.max(initial=-1) + 2))
    above: list[list[int]] = [[] for _ in range(n)]
    below: list[list[int]] = [[] for _ in range(n)]
    for a, b, c in zip(first, first[1:], first[2:]):
        left = np.maximum(lines.x[a:b, None, 0], lines.x[None, b:c, 0])
        right = np.minimum(lines.x[a:b, None, 1], lines.x[None, b:c, 1])
        for i, j in np.argwhere(right > left).tolist():
            above[a + i].append(b + j)
            below[b + j].append(a + i)
    cells: list[list[int]] = []
    own: dict[int, list[int]] = {}
    for k in range(n):
        under = below[k]
        if len(under) == 1 and len(above[under[0]]) == 1:
            own[k] = own[under[0]]
        else:
            own[k] = []
            cells.append(own[k])
        own[k].append(k)
    return cells


def _in_order(lines: Lines, cells: list[list[int]], here: Floats) -> list[tuple[int, int]]:
    """Rows, and the side each begins on: the cell whose nearest corner is nearest comes next, to and fro from there."""
    corners = np.array([[[lines.end(cell[e], side) for side in (0, 1)] for e in (0, -1)] for cell in cells])
    corners = corners.reshape(-1, 4, 2)
    left = np.ones(len(cells), bool)
    out: list[tuple[int, int]] = []
    while left.any():
        gap = np.where(left[:, None], np.round(np.hypot(*(corners - here).transpose(2, 0, 1)), 6), np.inf)
        k, corner = divmod(int(np.argmin(gap)), 4)
        left[k] = False
        cell = cells[k] if corner < 2 else cells[k][::-1]
        out += [(row, (corner + n) % 2) for n, row in enumerate(cell)]
        here = lines.end(out[-1][0], 1 - out[-1][1])
    return out


def _joined(lines: Lines, order: list[tuple[int, int]]) -> list[shapely.LineString]:
    """One way for all rows from which a link leads to the next."""
    out: list[shapely.LineString] = []
    way: list[Floats] = []
    for n, (k, side) in enumerate(order):
        link = _link(lines, order[n - 1], (k, side)) if n else None
        if link is not None:
            way.append(link[1:])
        else:
            if way:
                out.append(shapely.LineString(np.vstack(way)))
            way = [lines.end(k, side)[None]]
        way.append(lines.end(k, 1 - side)[None])
    return [*out, shapely.LineString(np.vstack(way))] if way else out


def _link(lines: Lines, last: tuple[int, int], to: tuple[int, int]) -> Floats | None:
    """Points from where a row ends to where the next level's begins, between these two levels: along the wall, or straight."""
    (a, came), (b, side) = last, to
    if abs(lines.level[a] - lines.level[b]) != 1:
        return None
    ends = np.array([lines.end(a, 1 - came), lines.end(b, side)])
    low, high = np.sort(ends[:, 1])
    best, least = None, np.inf
    if lines.ring[a, 1 - came] == lines.ring[b, side]:
        ring = lines.rings[lines.ring[b, side]]
        s, t = shapely.line_locate_point(ring, shapely.points(ends))
        points = shapely.get_coordinates(ring)[:-1]
        at = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
        for sign in (1, -1):
            ahead = sign * (at - s) % ring.length
            order = np.argsort(ahead, kind="stable")
            order = order[ahead[order] < sign * (t - s) % ring.length]
            way = np.vstack([ends[0], points[order], ends[1]])
            long = float(np.hypot(*np.diff(way, axis=0).T).sum())
            if long < least and (way[:, 1] > low - SHORT).all() and (way[:, 1] < high + SHORT).all():
                best, least = way, long
    if best is None and np.hypot(*(ends[1] - ends[0])) < 2 * lines.apart:
        best = ends if shapely.covers(lines.part, shapely.LineString(ends)) else None
    return best
