"""Little way in the air."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats, Ints
from kerfwright.strategy import Route
from kerfwright_plugins.route._improving import improved
from kerfwright_plugins.route._least import FEW, least
from kerfwright_plugins.route._nearest import nearest
from kerfwright_plugins.route._ways import Ways

__all__ = ["Shortest"]


@define(frozen=True, kw_only=True)
class Shortest(Route):
    """Always the nearest block that may come next, then improved until no change makes the way in the air shorter.

    Changes: a stretch of the order taken in reverse (the exchange of two ways), and a run of up to three blocks moved,
    as it is or in reverse. Blocks themselves are never reversed. Up to eight blocks the shortest order of all is found;
    beyond 2,000 a change is looked for only where it makes two near neighbours meet.
    """

    name: ClassVar[str] = "shortest"
    end: str = fields.choice(
        "where the way in the air ends; start: the way back to where the cutter stood counts too",
        ("anywhere", "start"),
        default="anywhere",
    )

    def order(self, starts: Floats, ends: Floats, before: Ints, here: Floats) -> Ints:
        """The same order for the same blocks, on every machine; of equal choices the first listed."""
        ways = Ways.of(starts, ends, here, self.end == "start")
        first = nearest(ways, before)
        stops = np.unique(np.asarray(before, np.int64).reshape(-1, 2), axis=0) + 1
        if len(first) <= 1:
            return first
        return (least(ways, stops) if len(first) <= FEW else improved(ways, stops, first + 1)) - 1
