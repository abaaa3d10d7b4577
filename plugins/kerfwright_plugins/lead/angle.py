"""To the wall and from it on straights at an angle."""

from __future__ import annotations

import math
from typing import ClassVar

from attrs import define

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright.strategy import Lead
from kerfwright_plugins.lead._fitting import MOST, ahead, fitting

__all__ = ["Angle"]


@define(frozen=True, kw_only=True)
class Angle(Lead):
    """A straight on the waste side that meets the wall at an angle, and another one that leaves it at the same angle.

    Shorter than a quarter circle in tight places, and a straight in every dialect. The defaults are from memory.
    """

    name: ClassVar[str] = "angle"
    angle: float = fields.number("angle to the wall; 90 is square to it", unit="deg", least=1, most=90, default=45.0)
    length: float = fields.number("length of each straight", unit="mm", above=0, most=MOST, default=1.5)

    def lead(self, cut: Curve, room: Room) -> tuple[Curve, Curve]:
        """Both of one length, shorter where there is no room for them. Raises NoRoom where none fits."""
        a = math.radians(self.angle)
        first, last = float(cut.directions[0, 0]), float(cut.directions[-1, 1])

        def ways(length: float) -> tuple[Curve, Curve]:
            begin, end = cut.start - ahead(first - a, length), cut.end + ahead(last + a, length)
            return Curve.line([begin, cut.start]), Curve.line([cut.end, end])

        return fitting(self.length, room, ways, "straight")
