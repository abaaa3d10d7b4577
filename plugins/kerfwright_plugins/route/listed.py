"""In the order of the drawing."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.strategy import Route
from kerfwright_plugins.route._waiting import Waiting

__all__ = ["Listed"]


@define(frozen=True, kw_only=True)
class Listed(Route):
    """As the blocks are listed; one that must wait comes as soon as it may."""

    name: ClassVar[str] = "listed"

    def order(self, starts: Floats, ends: Floats, before: Ints, here: Floats) -> Ints:
        """The first in the list that may come, again and again."""
        waiting = Waiting.of(len(starts), before)
        out = np.zeros(len(starts), np.int64)
        for k in range(len(starts)):
            out[k] = np.argmax(waiting.free)
            waiting.take(int(out[k]))
        return out
