"""Which stretches of a wall a round cutter cannot reach, told without any sweep: plain geometry, for the proof."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.sweep import rings_of

__all__ = ["step", "unreached", "windows"]

NEAR = 0.0006
"""A wall that the cutter misses by no more than this (mm) counts as reached: chords within 0.0005 mm miss by that much."""


def step(radius: float) -> float:
    """From one sample of a wall to the next (mm): the cusp between two cuts of `radius` that reach them is under 0.001 mm.

    >>> step(10.0)
    0.2
    """
    return min(0.2, math.sqrt(8 * radius * 0.001))


def unreached(area: shapely.Geometry, radius: float) -> Floats:
    """Points (k, 2) on the walls of an area that a cutter of `radius` (mm) inside it does not reach: none, where all of
    the area is reached, tips of corners to 0.0006 mm.

    A wall is reached where the cutter that touches it there touches nothing else, and at a vertex where it misses the tip
    by a hair at most. Both are asked of every edge: as a whole, and where that is not so, in samples.
    """
    rings = rings_of(shapely.orient_polygons(area))
    if not len(rings):
        return np.zeros((0, 2))
    p, ring = shapely.get_coordinates(rings, return_index=True)
    inner = np.diff(ring) == 0
    a, way, of = p[:-1][inner], np.diff(p, axis=0)[inner], ring[:-1][inner]
    length = np.hypot(way[:, 0], way[:, 1])
    some = length > 1e-9
    a, way, of, length = a[some], way[some], of[some], length[some]
    # turns to the left at the start of each edge are corners of the area that point outwards
    first = np.flatnonzero(np.append(True, np.diff(of) > 0))
    before = np.arange(-1, len(a) - 1)
    before[first] = np.append(first[1:], len(a)) - 1
    u = way[before]
    bend = np.arctan2(u[:, 0] * way[:, 1] - u[:, 1] * way[:, 0], (u * way).sum(1))
    sharp = bend > 2 * math.acos(radius / (radius + NEAR))
    tree = shapely.STRtree(shapely.linestrings(np.stack([a, a + way], axis=1)))
    unit = way / length[:, None]
    center = a + radius * np.column_stack([-unit[:, 1], unit[:, 0]])
    trim = np.minimum(length, step(radius)) / 2
    last = np.maximum(length - trim, trim + 1e-7)  # a tree passes over a line of no length
    ends = [center + trim[:, None] * unit, center + last[:, None] * unit]
    k = np.unique(
        tree.query(shapely.linestrings(np.stack(ends, axis=1)), predicate="dwithin", distance=radius - NEAR)[0]
    )
    n = np.ceil(length[k] / step(radius) - 1e-9).astype(np.int64)
    own = np.repeat(k, n)
    along = (np.arange(len(own)) - np.repeat(np.cumsum(n) - n, n) + 0.5) / np.repeat(n, n)
    to = along[:, None] * way[own]
    near = np.unique(tree.query(shapely.points(center[own] + to), predicate="dwithin", distance=radius - NEAR)[0])
    return np.vstack([a[sharp], (a[own] + to)[near]])


def windows(points: Floats, radius: float) -> Any:
    """Boxes (k,) that hold all within two radii of unreached points, joined where they meet."""
    m = 2 * radius
    # to a grid first: thousands of points along one wall are a few boxes
    cell = np.unique(np.floor(points / m), axis=0) * m
    return shapely.union_all(shapely.box(*(cell - m).T, *(cell + 2 * m).T))
