"""Outlines given to GEOS with no long edge beside a short one."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

__all__ = ["graded"]

FIRST = 0.1
"""Distance (mm) of the first point from each end of a long edge; the next lie twice as far each time."""


def graded(polygons: Any) -> Any:
    """The same polygons, an array (n,) flattened, with points put into edges longer than 0.2 mm: 0.1, 0.2, 0.4 ... mm off
    each end. Where GEOS drops a corner between fine chords and a long edge, only the short one beside it moves.

    >>> shapely.get_num_coordinates(graded(shapely.box(0, 0, 1, 1))).tolist()
    [29]
    """
    flat = np.atleast_1d(np.asarray(polygons, object)).ravel()
    if shapely.is_empty(flat).all():  # none at all too, of which GEOS makes no array
        return flat
    kind, points, offsets = shapely.to_ragged_array(flat)
    way = np.diff(points, axis=0)
    edge = np.hypot(way[:, 0], way[:, 1])
    edge[np.asarray(offsets[0][1:-1], np.int64) - 1] = 0  # from one ring to the next leads no edge
    each = np.ceil(np.log2(np.maximum(edge, 2 * FIRST) / (2 * FIRST))).astype(np.int64)
    own = np.repeat(np.arange(len(edge)), 2 * each)
    nth = np.arange(len(own)) - np.repeat(np.cumsum(2 * each) - 2 * each, 2 * each)
    n = each[own]
    near = FIRST * 2.0 ** np.where(nth < n, nth, 2 * n - 1 - nth) / edge[own]
    fresh = points[own] + np.where(nth < n, near, 1 - near)[:, None] * way[own]
    before = np.concatenate([[0], np.cumsum(2 * each), [2 * each.sum()]])
    rings = offsets[0] + before[offsets[0]]
    return shapely.from_ragged_array(kind, np.insert(points, own + 1, fresh, axis=0), (rings, *offsets[1:]))
