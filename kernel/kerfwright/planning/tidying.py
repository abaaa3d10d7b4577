"""Nodes that splitting has left behind, taken out again: a circle started anywhere is two arcs, a side one line."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Bools, Ints
from kerfwright.curve import SAME, Curve

__all__ = ["tidied"]

LONGEST = 1.05 * np.pi
"""Included angle of the longest arc: a full circle is always two."""


def tidied(curve: Curve, *marks: Ints) -> tuple[Curve, tuple[Ints, ...]]:
    """The same planar curve with as few segments as its lines and arcs need; segments with unlike marks stay apart."""
    same = _same(curve)
    for m in marks:
        same &= m[1:] == m[:-1]
    if not same.any():
        return curve, marks
    first = np.flatnonzero(np.concatenate([[True], ~same]))
    total = np.add.reduceat(curve.turns, first)
    count = np.maximum(1, np.ceil(np.abs(total) / LONGEST)).astype(np.int64)
    of = np.repeat(np.arange(len(first)), count)
    step = np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count) + 1
    begin = curve.s[first]
    end = curve.s[np.append(first[1:], len(curve))]
    points = curve.at(begin[of] + (end - begin)[of] * step / count[of])[0]
    last = step == count[of]
    points[last] = curve.nodes[np.append(first[1:], len(curve))[of[last]]]
    merged = Curve(np.vstack([curve.nodes[:1], points]), total[of] / count[of])
    return merged, tuple(m[first][of] for m in marks)


def _same(curve: Curve) -> Bools:
    """For each node between two segments: whether one goes on as the other."""
    a, b = slice(None, -1), slice(1, None)
    long = np.minimum(curve.lengths[a], curve.lengths[b]) > SAME
    bend = np.abs((curve.directions[b, 0] - curve.directions[a, 1] + np.pi) % (2 * np.pi) - np.pi)
    arc = curve.turns != 0
    with np.errstate(invalid="ignore"):
        center = np.abs(curve.centers[a] - curve.centers[b]).max(1) < SAME
    turn = np.sign(curve.turns[a]) == np.sign(curve.turns[b])
    lines: Bools = ~arc[a] & ~arc[b] & (bend < 1e-9)
    same: Bools = long & (lines | (arc[a] & arc[b] & center & turn))
    return same
