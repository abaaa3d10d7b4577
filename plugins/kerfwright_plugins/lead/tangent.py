"""To the wall and from it on quarter circles."""

from __future__ import annotations

import math
from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright.strategy import Lead
from kerfwright_plugins.lead._fitting import MOST, ahead, fitting

__all__ = ["Tangent"]


@define(frozen=True, kw_only=True)
class Tangent(Lead):
    """A quarter circle on the waste side that meets the wall along it, and another one that leaves it along it.

    So the cutter is never pressed against the wall at right angles, nor stands still there: common practice. The default
    radius is from memory, half of the diameter of the common 2 mm cutter.
    """

    name: ClassVar[str] = "tangent"
    radius: float = fields.number("radius of the quarter circles", unit="mm", above=0, most=MOST, default=1.0)

    def lead(self, cut: Curve, room: Room) -> tuple[Curve, Curve]:
        """Both of one radius, smaller where there is no room for them. Raises NoRoom where none fits."""
        first, last = float(cut.directions[0, 0]), float(cut.directions[-1, 1])
        quarter = np.array([math.pi / 2])

        def ways(radius: float) -> tuple[Curve, Curve]:
            begin = cut.start + ahead(first + math.pi / 2, radius) - ahead(first, radius)
            end = cut.end + ahead(last + math.pi / 2, radius) + ahead(last, radius)
            return Curve(np.array([begin, cut.start]), quarter), Curve(np.array([cut.end, end]), quarter)

        return fitting(self.radius, room, ways, "quarter circle")
