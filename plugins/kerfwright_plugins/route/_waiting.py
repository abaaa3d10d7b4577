"""Which blocks may come next while others wait for them."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Bools, Ints
from kerfwright.errors import NoRoom

__all__ = ["Waiting"]


@define
class Waiting:
    """How many blocks each block still waits for; `free` (n,) marks those that may come next. Changed by `take`."""

    count: Ints
    free: Bools
    later: list[Ints]

    @classmethod
    def of(cls, n: int, before: Ints) -> Waiting:
        """Of `n` blocks and rows (a, b) of `before`, a first; a row said twice counts once."""
        rows = np.unique(np.asarray(before, np.int64).reshape(-1, 2), axis=0)
        count = np.bincount(rows[:, 1], minlength=n).astype(np.int64)
        later = np.split(rows[:, 1], np.cumsum(np.bincount(rows[:, 0], minlength=n))[:-1]) if n else []
        return cls(count, count == 0, later)

    def take(self, block: int) -> None:
        """The block is done. Raises NoRoom for one that is not free: blocks that wait for each other have no order."""
        if not self.free[block]:
            raise NoRoom("no order of the cuts exists: some wait for each other")
        self.free[block] = False
        self.count[block] = -1
        after = self.later[block]
        self.count[after] -= 1
        self.free[after] = self.count[after] == 0
