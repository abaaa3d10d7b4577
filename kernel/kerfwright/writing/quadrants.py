"""Arcs cut where they leave a quadrant of their own circle, for controllers whose center distances have no sign."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Floats, Ints

__all__ = ["QUADRANT_OFF", "by_quadrant"]

QUADRANT_OFF = 2.2
"""How far a node that is put in may lie from the arc that is meant, in units of the last digit: 0.7 for the middle of two
rounded ends, 0.7 for the rounded center, 0.5 for the rounded radius, and its share of the ends' own rounding."""


def by_quadrant(nodes: Ints, turns: Floats, centers: Ints, arc: np.ndarray) -> tuple[Ints, Ints]:
    """Nodes with one more wherever an arc crosses an axis of its circle, and for each new segment the old one.

    All in units of the last digit: nodes (n+1, 3), centers (n, 2) from each start, `arc` (n,) which segments are arcs.
    Nodes that are put in lie on the axes exactly, at the mean of the radii to the arc's ends, so no piece leaves its
    quadrant by a rounding; Z goes linearly with the angle.
    """
    k = np.flatnonzero(arc)
    center = nodes[k, :2] + centers[k]
    u, v = nodes[k, :2] - center, nodes[k + 1, :2] - center
    sign = np.sign(turns[k])
    first, last = (np.arctan2(sign * w[:, 1], w[:, 0]) for w in (u, v))
    sweep = (last - first) % (2 * np.pi)
    sweep = np.where(
        sweep - np.abs(turns[k]) > np.pi, sweep - 2 * np.pi, sweep
    )  # a small arc that rounding turned round
    quarter = np.pi / 2
    begin = np.floor(first / quarter + 1e-9).astype(np.int64) + 1
    count = np.maximum(np.ceil((first + sweep) / quarter - 1e-9).astype(np.int64) - begin, 0)
    of = np.repeat(np.arange(len(k)), count)
    axis = begin[of] + np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count)
    radius = np.rint((np.hypot(*u.T) + np.hypot(*v.T)) / 2).astype(np.int64)[of]
    east, north = np.array([1, 0, -1, 0])[axis % 4], np.array([0, 1, 0, -1])[axis % 4]
    part = (axis * quarter - first[of]) / np.maximum(sweep[of], 1e-12)
    z = nodes[k[of], 2] + np.rint(part * (nodes[k[of] + 1, 2] - nodes[k[of], 2])).astype(np.int64)
    new = np.column_stack(
        [center[of] + np.stack([east, north * sign[of].astype(np.int64)], axis=1) * radius[:, None], z]
    )
    pieces = np.ones(len(turns), np.int64)
    pieces[k] += count
    return np.insert(nodes, k[of] + 1, new, axis=0), np.repeat(np.arange(len(turns)), pieces)
