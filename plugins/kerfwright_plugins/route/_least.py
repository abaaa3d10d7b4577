"""The shortest order of a few blocks, by trying all that matter."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Ints
from kerfwright_plugins.route._ways import Ways

__all__ = ["FEW", "least"]

FEW = 8
"""Up to this many blocks the shortest order is found outright."""


def least(ways: Ways, before: Ints) -> Ints:
    """The shortest order of at most `FEW` stops under rows (a, b) of `before` (stops); of equally short ones the one
    that takes the first listed first. Returns stops from 1; an order must exist.

    What is left to do depends only on which stops are done and where the cutter is (Bellman 1962; Held and Karp 1962,
    from memory).
    """
    n = len(ways.away) - 1
    stops = np.arange(n + 1)
    way = ways(stops[:, None], stops)
    need = np.zeros(n + 1, np.int64)
    for a, b in before.tolist():
        need[b] |= 1 << a
    full = (2 << n) - 2
    left = np.full((full + 1, n + 1), np.iinfo(np.int64).max // 4)
    left[full] = way[:, 0]
    for done in range(full - 2, -1, -2):
        for b in _open(done, need, n):
            np.minimum(left[done], way[:, b] + left[done | 1 << b, b], out=left[done])
    out, done, at = [], 0, 0
    while done != full:
        at = min(_open(done, need, n), key=lambda b: (way[at, b] + left[done | 1 << b, b], b))
        out.append(at)
        done |= 1 << at
    return np.array(out, np.int64)


def _open(done: int, need: Ints, n: int) -> list[int]:
    return [b for b in range(1, n + 1) if not done >> b & 1 and not int(need[b]) & ~done]
