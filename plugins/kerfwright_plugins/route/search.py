"""Little way in the air, looked for by a library."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats, Ints
from kerfwright.errors import NoRoom
from kerfwright.strategy import Route
from kerfwright_plugins.route._improving import improved
from kerfwright_plugins.route._least import FEW
from kerfwright_plugins.route._tour import library, tour
from kerfwright_plugins.route._waiting import Waiting
from kerfwright_plugins.route._ways import Ways
from kerfwright_plugins.route.shortest import Shortest

__all__ = ["Search"]

MOST = 5000
"""Blocks that are handed to the library: it wants all ways at once (5,000: some 100 MB)."""


@define(frozen=True, kw_only=True)
class Search(Route):
    """As `shortest`, and besides a library looks for a shorter order; needs the extra `search`. Not reproducible.

    The library (fast-tsp) runs in one thread until its time is over, and chance guides it, so that another run may find
    another order of much the same length: up to 18 blocks it does not. It knows neither `before` nor cuts that end
    elsewhere than they start: its order is put right and improved as `shortest` does. Never longer than `shortest`.
    """

    name: ClassVar[str] = "search"
    reproducible: ClassVar[bool] = False
    effort: float = fields.number("time the library may take for one order", unit="s", least=0.1, most=600, default=1.0)
    seed: int = fields.whole(
        "another number starts the library from another order of the blocks", least=0, most=9999, default=0
    )
    end: str = fields.choice(
        "where the way in the air ends; start: the way back to where the cutter stood counts too",
        ("anywhere", "start"),
        default="anywhere",
    )

    def order(self, starts: Floats, ends: Floats, before: Ints, here: Floats) -> Ints:
        """The shorter of what `shortest` and the library found; of equal ones the former. NoRoom without the library."""
        find = library()
        n = len(starts)
        if n > MOST:
            raise NoRoom(f"search takes at most {MOST} cuts at once, found {n}: take the route `shortest`")
        plain = Shortest(end=self.end).order(starts, ends, before, here)
        if n <= FEW:
            return plain
        ways = Ways.of(starts, ends, here, self.end == "start")
        found = tour(ways, lambda matrix: find(matrix, self.effort), self.seed)
        tried = [_keeping(one, before) for one in ((found, found[::-1]) if ways.back else (found,))]
        best = min(tried, key=lambda one: _length(ways, one))
        stops = np.unique(np.asarray(before, np.int64).reshape(-1, 2), axis=0) + 1
        return min(plain, improved(ways, stops, best + 1) - 1, key=lambda one: _length(ways, one))


def _length(ways: Ways, order: Ints) -> int:
    return int(ways(np.r_[0, order + 1], np.r_[order + 1, 0]).sum())


def _keeping(order: Ints, before: Ints) -> Ints:
    """In this order, but what a block waits for is fetched just before it."""
    n = len(order)
    waiting, rank, out = Waiting.of(n, before), np.argsort(order), []
    ahead: list[list[int]] = [[] for _ in range(n)]
    for a, b in before[np.argsort(-rank[before[:, 0]], kind="stable")].tolist():
        ahead[b].append(a)  # the last in the order first: it is taken from the end
    for block in order.tolist():
        stack = [block]
        while stack:
            top = stack[-1]
            while ahead[top] and waiting.count[ahead[top][-1]] < 0:
                ahead[top].pop()
            if ahead[top]:
                stack.append(ahead[top][-1])
                continue
            stack.pop()
            if waiting.count[top] >= 0:
                waiting.take(top)
                out.append(top)
    return np.array(out, np.int64)
