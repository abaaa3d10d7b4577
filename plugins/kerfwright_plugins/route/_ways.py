"""Ways in the air between stops, in whole numbers, so that a sum never depends on the order it was taken in."""

from __future__ import annotations

import numpy as np
from attrs import frozen

from kerfwright.arrays import Floats, Ints

__all__ = ["TABLED", "Ways"]

TABLED = 2000
"""Up to this many blocks all ways are kept in a table (32 MB)."""


@frozen(eq=False)
class Ways:
    """Stop 0 is where the cutter stands, stop k + 1 is block k. Called with stops: the way from one to the other.

    `away` and `into` (n + 1, 2): where each stop is left and reached (mm). Ways are in millionths of a mm. The way to
    stop 0 counts where `back` is set, and is 0 elsewhere: an order then ends wherever it likes.
    """

    away: Floats
    into: Floats
    back: bool
    table: Ints | None

    @classmethod
    def of(cls, starts: Floats, ends: Floats, here: Floats, back: bool) -> Ways:
        """Of blocks (n, 2) and the place of the cutter (2,)."""
        at = np.asarray(here, float).reshape(1, 2)
        bare = cls(np.vstack([at, ends]), np.vstack([at, starts]), back, None)
        if len(starts) > TABLED:
            return bare
        stops = np.arange(len(starts) + 1)
        return cls(bare.away, bare.into, back, bare(stops[:, None], stops))

    def __call__(self, a: Ints, b: Ints) -> Ints:
        """From `a` to `b`, arrays that broadcast."""
        if self.table is not None:
            return np.asarray(self.table[a, b])
        x = self.away[a, 0] - self.into[b, 0]
        y = self.away[a, 1] - self.into[b, 1]
        far = np.rint(np.hypot(x, y) * 1e6).astype(np.int64)
        return far if self.back else np.where(np.asarray(b) == 0, 0, far)

    def near(self, count: int) -> Ints:
        """Rows (n + 1, count): the nearest blocks from each stop, nearest first, of equally near ones the first listed.

        Fewer columns where there are fewer blocks; a stop is not its own neighbour.
        """
        n = len(self.away) - 1
        count = min(count, n - 1)
        blocks, out = np.arange(1, n + 1), np.zeros((n + 1, max(count, 0)), np.int64)
        if count < 1:
            return out
        rows = max(1, 1_000_000 // n)
        for k in range(0, n + 1, rows):
            stops = np.arange(k, min(k + rows, n + 1))
            # one number for distance and rank: the choice is the same on every machine
            key = self(stops[:, None], blocks) * (n + 1) + blocks
            key[stops[:, None] == blocks] = np.iinfo(np.int64).max
            out[stops] = np.sort(np.partition(key, count - 1, axis=1)[:, :count], axis=1) % (n + 1)
        return out

    def pairs(self, count: int) -> tuple[Ints, Ints]:
        """Stops a and b (k,): a way from a to b is among the `count` shortest that leave a, or that reach b."""
        m = len(self.away)
        near = self.near(count)
        if not near.size:
            return np.zeros(0, np.int64), np.zeros(0, np.int64)
        a, b = np.repeat(np.arange(m), near.shape[1]), near.ravel()
        if np.array_equal(self.away, self.into):
            other = np.column_stack([b, a])
        else:
            turned = Ways(self.into, self.away, True, None).near(count)
            other = np.column_stack([turned.ravel(), np.repeat(np.arange(m), turned.shape[1])])
        last = np.column_stack([np.arange(1, m), np.zeros(m - 1, np.int64)])  # every block may be the last
        key = np.unique(np.vstack([np.column_stack([a, b]), other, last]) @ np.array([m, 1]))
        return key // m, key % m
