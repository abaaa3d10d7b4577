"""Little way in the air."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.strategy import Route
from kerfwright_plugins.route._waiting import Waiting, distances

__all__ = ["Shortest"]


@define(frozen=True, kw_only=True)
class Shortest(Route):
    """Always the nearest block that may come next; of equally near ones the first listed."""

    name: ClassVar[str] = "shortest"

    def order(self, starts: Floats, ends: Floats, before: Ints, here: Floats) -> Ints:
        """Nearest neighbour under `before`."""
        waiting = Waiting.of(len(starts), before)
        out, at = np.zeros(len(starts), np.int64), np.asarray(here, float)
        for k in range(len(starts)):
            # rounded, so that a difference in the last bit decides nothing
            far = np.where(waiting.free, np.round(distances(starts, at), 6), np.inf)
            out[k] = np.argmin(far)
            waiting.take(int(out[k]))
            at = ends[out[k]]
        return out
