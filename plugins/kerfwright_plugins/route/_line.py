"""An order of stops that is being improved: what a change would gain, and the change."""

from __future__ import annotations

import numpy as np
from attrs import define, field

from kerfwright.arrays import Bools, Ints
from kerfwright_plugins.route._ways import Ways

__all__ = ["RUN", "Line"]

RUN = 3
"""The longest run of blocks that is moved."""


@define(eq=False)
class Line:
    """Stops by place: `stops[0]` and `stops[-1]` are stop 0, where the cutter stands; blocks stand at places 1 to n.

    Kept besides: `place` of each stop; `on[p]`, the way from place p to the next; `turn[q] - turn[p]`, what is lost
    when the ways between places p and q are gone the other way round; and how far runs may move.
    """

    ways: Ways
    before: Ints
    stops: Ints
    place: Ints = field(init=False)
    on: Ints = field(init=False)
    turn: Ints = field(init=False)
    turnable: Ints = field(init=False)
    later: list[Ints] = field(init=False)
    earlier: list[Ints] = field(init=False)
    whole: list[Bools] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.refresh()

    @property
    def n(self) -> int:
        """How many blocks."""
        return len(self.stops) - 2

    @property
    def length(self) -> int:
        """All ways, in millionths of a mm."""
        return int(self.on.sum())

    def refresh(self) -> None:
        """Measure again after `stops` have changed."""
        n, t = self.n, self.stops
        self.place = np.zeros(n + 1, np.int64)
        self.place[t[1:-1]] = np.arange(1, n + 1)
        self.on = self.ways(t[:-1], t[1:])
        self.turn = np.r_[0, np.cumsum(self.ways(t[1:], t[:-1]) - self.on)]
        a, b = self.place[self.before[:, 0]], self.place[self.before[:, 1]]
        # by r: the first place at least r farther that waits for this one, the last at least r back it waits for
        after, ahead = [], []
        for r in range(1, RUN + 1):
            far = b - a >= r
            after.append(np.full(n + RUN + 2, n + 1))
            ahead.append(np.zeros(n + RUN + 2, np.int64))
            np.minimum.at(after[-1], a[far], b[far])
            np.maximum.at(ahead[-1], b[far], a[far])
        self.turnable = np.minimum.accumulate(after[0][::-1])[::-1]
        i = np.arange(n + 2)
        self.later = [np.min([after[k - 1 - s][i + s] for s in range(k)], axis=0) for k in range(1, RUN + 1)]
        self.earlier = [np.max([ahead[s][i + s] for s in range(k)], axis=0) for k in range(1, RUN + 1)]
        self.whole = [np.min([after[0][i + s] for s in range(k)], axis=0) >= i + k for k in range(1, RUN + 1)]

    def turned(self, i: Ints, j: Ints) -> Ints:
        """Gain of taking the blocks at places i to j (1 <= i < j <= n) in reverse order; 0 where it is not allowed."""
        t, way = self.stops, self.ways
        gain = self.on[i - 1] - self.turn[j] + self.turn[i] + self.on[j] - way(t[i - 1], t[j]) - way(t[i], t[j + 1])
        return np.where((i < j) & (self.turnable[i] > j), gain, 0)

    def moved(self, i: Ints, k: Ints, count: int, turn: bool) -> Ints:
        """Gain of moving the run of `count` blocks at place i to behind place k, in reverse order if `turn`.

        The run lies within places 1 to n, k within 0 to n and neither in the run nor just before it: else, and where
        something waits, 0.
        """
        t, way, e = self.stops, self.ways, i + count - 1
        first, last = (t[e], t[i]) if turn else (t[i], t[e])
        gain = (self.on[i - 1] + self.on[e] - way(t[i - 1], t[e + 1])) + self.on[k]
        gain = gain - way(t[k], first) - way(last, t[k + 1])
        ok = np.where(k > e, self.later[count - 1][i] > k, (k < i - 1) & (self.earlier[count - 1][i] <= k))
        if turn:
            gain = gain - self.turn[e] + self.turn[i]
            ok = ok & self.whole[count - 1][i]
        return np.where(ok, gain, 0)

    def change(self, lo: int, hi: int, i: int, e: int, turn: int) -> None:
        """Within places lo to hi, the run i to e goes from one end to the other. `refresh` when all are done."""
        run, t = self.stops[i : e + 1].copy(), self.stops
        if turn:
            run = run[::-1]
        t[lo : hi + 1] = np.r_[t[e + 1 : hi + 1], run] if i == lo else np.r_[run, t[lo:i]]
