"""An order asked of a library for shortest round tours."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

import numpy as np

from kerfwright.arrays import Ints
from kerfwright.errors import NoRoom
from kerfwright_plugins.route._ways import Ways

__all__ = ["library", "tour"]

LONGEST = 30_000
"""The longest way in the library's units, which must stay below 65,536 even when doubled."""

Find: TypeAlias = Callable[[Ints, float], Sequence[int]]
"""From symmetric whole distances (m, m) and seconds to a round tour of m numbers."""


def library() -> Find:
    """The library's search, one thread. Raises NoRoom where it is not installed."""
    try:
        import fast_tsp
    except ImportError as e:
        raise NoRoom(
            "the route `search` needs the library fast-tsp, which is not installed: "
            "pip install 'kerfwright[search]', or take the route `shortest`"
        ) from e

    def find(matrix: Ints, seconds: float) -> Sequence[int]:
        found: list[int] = fast_tsp.find_tour(matrix, seconds, max_threads=1, stop_when_converged=True)
        return found

    return find


def tour(ways: Ways, find: Callable[[Ints], Sequence[int]], seed: int) -> Ints:
    """Blocks in the order of a short tour that starts where the cutter stands.

    A way has the mean length of both directions, which is its own length where cuts end where they start. Where the way
    back does not count, one stop more lies beside stop 0 and equally far from all others: the tour ends there.
    """
    m = len(ways.away)
    stops = np.arange(m)
    far = ways(stops[:, None], stops)
    mean = (far + far.T) / 2
    if not ways.back:
        mean[0, 1:] = mean[1:, 0] = far[0, 1:]
    np.fill_diagonal(mean, 0)
    whole = np.rint(mean * (LONGEST / max(mean.max(), 1.0))).astype(np.int64)
    if not ways.back:
        whole = np.pad(whole, (0, 1), constant_values=2 * LONGEST)
        whole[m, m] = whole[m, 0] = whole[0, m] = 0
    mixed = np.random.default_rng(seed).permutation(len(whole))
    found = mixed[np.asarray(find(whole[np.ix_(mixed, mixed)]), np.int64)]
    found = np.roll(found, -int(np.flatnonzero(found == 0)[0]))
    if not ways.back:
        if found[1] == m:
            found = np.roll(found[::-1], 1)
        found = found[found < m]
    return np.asarray(found[1:] - 1, np.int64)
