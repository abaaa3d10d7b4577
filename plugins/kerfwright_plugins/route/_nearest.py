"""Always the nearest block that may come next."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Ints
from kerfwright_plugins.route._waiting import Waiting
from kerfwright_plugins.route._ways import Ways

__all__ = ["nearest"]

NEAR = 12
"""Neighbours of a stop that are looked at before all others."""


def nearest(ways: Ways, before: Ints) -> Ints:
    """Blocks in order, under rows (a, b) of `before` (blocks); of equally near ones the first listed.

    Raises NoRoom where blocks wait for each other.
    """
    n = len(ways.away) - 1
    waiting, near = Waiting.of(n, before), ways.near(NEAR) - 1
    out, at = np.zeros(n, np.int64), 0
    for k in range(n):
        block = next((b for b in near[at].tolist() if waiting.free[b]), -1)
        if block < 0:
            free = np.flatnonzero(waiting.free)
            block = int(free[np.argmin(ways(np.array(at), free + 1))]) if len(free) else 0
        waiting.take(block)
        out[k], at = block, block + 1
    return out
