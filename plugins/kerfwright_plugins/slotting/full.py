"""The kerf in one go."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright.strategy import Slotting

__all__ = ["Full"]


@define(frozen=True, kw_only=True)
class Full(Slotting):
    """Straight through the full width of the kerf: the loop as it is."""

    name: ClassVar[str] = "full"

    def slot(self, loop: Curve, room: Room, radius: float, advance: float) -> Curve:
        """The loop itself."""
        return loop
