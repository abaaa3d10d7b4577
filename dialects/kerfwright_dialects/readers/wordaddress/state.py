"""What a text has said so far: modes, place, rates. Nothing is taken for granted that the text has not said."""

from __future__ import annotations

import math

import numpy as np
from attrs import define, field

from kerfwright.arrays import Floats

__all__ = ["State"]

FEED_UNSAID = "a feed motion needs a feed above 0, and none was given"
FEED_STALE = "a feed motion needs a feed above 0; the one given was in other units"


@define(eq=False)
class State:
    """Modes in force while a text is followed; None, nan or empty: not said. Lengths in mm."""

    here: Floats = field(factory=lambda: np.full(3, np.nan))
    unit: float | None = None
    """Length of the unit in mm: 1 or 25.4."""
    incremental: bool | None = None
    plane: bool = False
    quadrants: bool = False
    """Whether arcs stay in quadrants has been said."""
    number: int = -1
    """Number of the last block that had one."""
    per_minute: bool = False
    work_offset: str = ""
    return_level: str = ""
    motion: str = ""
    """G0 to G3, G81 to G83, or nothing."""
    feed: float = math.nan
    no_feed: str = FEED_UNSAID
    """Why there is no feed."""
    speed: float = math.nan
    turning: bool = False
    cutter: int | None = None
    """Number of the last T word."""
    message: str = ""
    """Last message since the last stop."""
    remark: str = ""
    """Comment of this block, or of the one before if it stood alone there."""
    sticky: dict[str, float] = field(factory=dict)
    """Numbers of the cycle in force that hold on: R, Z, P, Q, in the units of the text."""
    cycle_from: float = math.nan
    """Z before the first of a row of cycles."""
    ended: bool = False

    @property
    def spindle(self) -> float:
        """Speed at which it turns (rpm)."""
        return self.speed if self.turning else 0.0

    def change_unit(self, unit: float) -> None:
        """A feed and the numbers of a cycle mean nothing in another unit: they must be given again."""
        if self.unit is not None and unit != self.unit:
            if not math.isnan(self.feed):
                self.no_feed = FEED_STALE
            self.feed = math.nan
            self.sticky.clear()
        self.unit = unit

    def change_distance(self, incremental: bool) -> None:
        """The numbers of a cycle mean something else in the other distance mode."""
        if incremental != self.incremental:
            self.sticky.clear()
        self.incremental = incremental
