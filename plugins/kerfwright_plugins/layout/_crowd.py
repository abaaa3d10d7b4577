"""Pieces on sheets laid side by side: put down one by one, then pushed closer until no room is left for them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from attrs import define, field

from kerfwright.arrays import Bools, Ints
from kerfwright_plugins.layout._cells import Stamps, forbidden

__all__ = ["Crowd"]

NEVER = np.int64(1) << 40
"""Cost of a place that may not be taken."""
PATIENCE = 400
"""Moves that one step closer may take."""


@define(eq=False)
class Crowd:
    """n pieces, each a row of `rows`: its shape and the column and row of its first cell, columns counted through all sheets.

    To bring them closer, what stands too far right is put where it meets the others least; then pieces that still meet are
    moved one at a time to where they meet least, and each meeting that lasts counts for more (guided local search).
    """

    stamps: Stamps
    of: Sequence[Sequence[int]]
    """The shapes of each outline."""
    blocked: Sequence[Bools]
    """Cells (nx, ny) of the first sheets that nothing may fill; the last of them for every further sheet."""
    rows: Ints
    sheets: int = 1
    weights: Ints = field(init=False)
    away: dict[tuple[int, int], Bools] = field(factory=dict)
    """Places (columns, rows) that a shape may not have on a sheet: made when first asked, the same for every crowd."""

    def __attrs_post_init__(self) -> None:
        self.weights = np.ones((len(self.rows), len(self.rows)), np.int64)

    @property
    def right(self) -> int:
        """Columns used."""
        return max(int(i + self.stamps.shapes[k].filled.shape[0]) for k, i, _ in self.rows.tolist())

    def put(self, order: Sequence[int], most: int) -> bool:
        """Pieces in this order where their right ends are furthest left, on as many sheets as it takes, at most `most`.
        False where one fits on no empty sheet.
        """
        there: list[int] = []
        for p in order:
            while (found := self._best(p, self.sheets * self.blocked[0].shape[0], there, free=True)) is None:
                if self.sheets >= most or (self.sheets >= len(self.blocked) and not self._used(there)):
                    return False
                self.sheets += 1
            self.rows[p] = found
            there.append(p)
        return True

    def closer(self, moves: int) -> None:
        """By a fortieth of the columns at a time, then by less, as long as the moves last."""
        good, right = self.rows.copy(), self.right
        step, left = max(1, right // 40), moves
        while left > 0 and step > 0:
            left -= self._press(right - step, min(PATIENCE, left))
            if np.array_equal(self.rows, good):
                break  # one has no place there even alone, and would have none the next time
            if self._meeting().any():
                self.rows, step = good.copy(), step // 2
            else:
                good, right = self.rows.copy(), self.right
        self.rows = good

    def _used(self, there: Sequence[int]) -> bool:
        nx = self.blocked[0].shape[0]
        return any(int(self.rows[p, 1]) // nx == self.sheets - 1 for p in there)

    def _press(self, right: int, moves: int) -> int:
        """Everything into so many columns; how many moves it took. Pieces may still meet."""
        every = range(len(self.rows))
        self.weights[:] = 1
        out = [p for p in every if self.rows[p, 1] + self.stamps.shapes[int(self.rows[p, 0])].filled.shape[0] > right]
        for used, p in enumerate(out):
            found = self._best(p, right, [q for q in every if q != p])
            if found is None:
                return used + 1  # not even alone
            self.rows[p] = found
        used, rng = len(out), np.random.default_rng(1)
        while used < moves:
            meet = self._meeting()
            some = np.flatnonzero(meet.any(axis=1))
            if not len(some):
                break
            self.weights += -(-4 * meet // meet.max())
            for p in rng.permutation(some).tolist():
                if used >= moves:
                    break
                if self._meets(p).any():
                    found = self._best(p, right, [q for q in every if q != p])
                    self.rows[p] = self.rows[p] if found is None else found
                    used += 1
        return used

    def _meets(self, p: int) -> Ints:
        """Cells that a piece shares with each other piece, (n,)."""
        k, at = int(self.rows[p, 0]), self.rows[p, 1:]
        return np.array(
            [0 if q == p else self.stamps.shared(k, int(row[0]), row[1:] - at) for q, row in enumerate(self.rows)],
            np.int64,
        )

    def _meeting(self) -> Ints:
        return np.array([self._meets(p) for p in range(len(self.rows))])

    def _best(self, p: int, right: int, others: Sequence[int], free: bool = False) -> tuple[int, int, int] | None:
        """Shape and place of a piece within so many columns where it meets others least, then ends furthest left; with
        `free` only where it meets none.
        """
        best: tuple[tuple[int, int, int], tuple[int, int, int]] | None = None
        for k in self.of[self._outline(p)]:
            cost = self._cost(p, k, right, others)
            if not cost.size:
                continue
            at = int(cost.argmin())
            i, j = divmod(at, cost.shape[1])
            least = int(cost[i, j])
            key = least, i + self.stamps.shapes[k].filled.shape[0], k
            if least < (1 if free else NEVER) and (best is None or key < best[0]):
                best = key, (k, i, j)
        return None if best is None else best[1]

    def _outline(self, p: int) -> int:
        return self.stamps.shapes[int(self.rows[p, 0])].outline

    def _cost(self, p: int, k: int, right: int, others: Sequence[int]) -> Ints:
        """What it costs to have a piece as shape `k` at each place, (columns, rows)."""
        w, h = self.stamps.shapes[k].filled.shape
        nx, ny = right - w + 1, self.blocked[0].shape[1] - h + 1
        if nx <= 0 or ny <= 0:
            return np.zeros((0, 0), np.int64)
        cost = np.zeros((nx, ny), np.int64)
        for q in others:
            a, i, j = self.rows[q].tolist()
            stamp, x, y = self.stamps(a, k), i - w + 1, j - h + 1
            u, v, x, y = max(0, -x), max(0, -y), max(x, 0), max(y, 0)
            part = stamp[u : u + max(nx - x, 0), v : v + max(ny - y, 0)]
            if part.size:
                cost[x : x + part.shape[0], y : y + part.shape[1]] += part * self.weights[p, q]
        wide = self.blocked[0].shape[0]
        for sheet in range(-(-nx // wide)):
            here = cost[sheet * wide : (sheet + 1) * wide]
            here[self._away(k, sheet)[: len(here), :ny]] = NEVER
        return cost

    def _away(self, k: int, sheet: int) -> Bools:
        key = k, min(sheet, len(self.blocked) - 1)
        if key not in self.away:
            self.away[key] = forbidden(self.stamps.shapes[k], self.blocked[key[1]])
        return self.away[key]
