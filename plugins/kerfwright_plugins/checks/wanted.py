"""What is wanted of a sheet, as values: what must go, what must stay at a depth, and the bridges that are excepted."""

from __future__ import annotations

from typing import Any

import shapely
from attrs import define, frozen

from kerfwright.setup import Work

__all__ = ["CLOSE", "Held", "Must", "Slab"]

CLOSE = 0.005
"""What counts as gouge or leftover (mm)."""


@frozen
class Held:
    """Bridges declared on an outline: the waist left standing, their thickness up from the underside, and how much their
    flanks add on each side at the floor (mm).
    """

    width: float
    thickness: float
    flank: float = 0.0

    @property
    def widest(self) -> float:
        """Most that may stand along the cutter's way at the floor, its diameter not counted."""
        return self.width + 2 * self.flank

    def most(self, radius: float) -> float:
        """Most that may stand for bridges along a wall: two side by side, with the cutter's width beside each."""
        return 2 * (self.widest + 2 * radius) + 0.3


@define(frozen=True, eq=False)
class Must:
    """What one operation must take of one piece: `area`, all of it, or the strip along `wall` where `area` is None.

    `wall` is what a round cutter of `radius` can reach of the outline: closed rings. From Z `start` down to `floor`;
    `level` is the slice that proves it. `loop` is -1 for a pocket's area. `side` is what it leaves there on purpose (mm).
    """

    work: Work
    piece: int
    loop: int
    wall: Any
    area: shapely.Geometry | None
    radius: float
    start: float
    floor: float
    through: bool
    held: Held | None
    side: float = 0.0


@define(frozen=True, eq=False)
class Slab:
    """A range of depth with one shape to keep: `keep` (pieces,) of what must stay under Z `top`."""

    top: float
    keep: Any
