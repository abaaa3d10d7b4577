"""Countersinks: the tip runs around inside the hole, so that the cone's flank makes the countersink."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import ClassVar

import numpy as np
from attrs import Factory, frozen

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.drawing import RoundHole
from kerfwright.errors import NoRoom
from kerfwright.operation import Answering
from kerfwright.selection import Choice, Selection
from kerfwright.spot import Spot
from kerfwright.way import Way

__all__ = ["Countersink"]

SIZES: Mapping[str, float] = MappingProxyType(
    {
        "M1.6": 3.6,
        "M2": 4.4,
        "M2.5": 5.5,
        "M3": 6.3,
        "M3.5": 8.2,
        "M4": 9.4,
        "M5": 10.4,
        "M6": 12.6,
        "M8": 17.3,
        "M10": 20.0,
    }
)
"""Diameter of the countersink at the face (mm), the lower limit; ISO 15065, from memory. Its angle is 90 degrees."""
BELOW = 0.1
"""So far (mm) the tip runs below the place where the cone meets the hole: the flank cuts there, never the tip's edge."""
NARROW = 0.02
"""A circle smaller than this (mm) is a plunge."""


@frozen(kw_only=True)
class Countersink(Answering):
    """A cone around the top of a hole, for a flush screw: a `size` of ISO 15065, or its `diameter` at the sheet's top.

    The angle is the cutter's. The hole itself is made by another operation, before or after.
    """

    kind = "countersink"
    forms: ClassVar[tuple[str, ...]] = ("chamfer_mill",)

    select: Selection = fields.custom(
        "which circles",
        "select",
        example={"circles": 3.2},
        default=Factory(lambda: Selection((Choice(nesting="all", circles=(0.0, 1e9)),), "circles")),
    )
    size: str | None = fields.choice(
        "thread of the screw (ISO 15065)", tuple(SIZES), optional=True, otherwise="its diameter is said"
    )
    diameter: float | None = fields.number(
        "diameter at the sheet's top", unit="mm", above=0, most=60, optional=True, example=6, otherwise="its size's"
    )
    land: float | None = fields.number(
        "straight wall that must stay of the hole below",
        unit="mm",
        least=0.05,
        optional=True,
        otherwise="a tenth of the sheet, 0.1 mm at least",
    )

    def __attrs_post_init__(self) -> None:
        if (self.size is None) == (self.diameter is None):
            found = "nothing" if self.size is None else "size and diameter"
            raise ValueError(f"size: found {found}, allowed: one of size, diameter")
        if self.size is not None and self.cutter.form in self.forms and abs(self.cutter.point_angle - 90) > 1:
            found = f"a cone of {self.cutter.point_angle:g} deg"
            raise ValueError(f"cutter: found {found}, allowed: 90 deg for a size of ISO 15065, or say its diameter")

    @property
    def across(self) -> float:
        """Diameter at the sheet's top (mm)."""
        return SIZES[self.size] if self.size is not None else self.diameter or 0.0

    def ways(self, spot: Spot) -> list[Way]:
        """Around inside each hole, or straight down where the hole is as narrow as the tip."""
        out = []
        for loop, index in zip(spot.loops, spot.indices, strict=True):
            hole = loop.circle
            if hole is None:
                raise NoRoom(f"the outline at ({loop.curve.bounds[0]:.3f}, {loop.curve.bounds[1]:.3f}) is no circle")
            where = f"the circle of {hole.diameter:.4g} mm at ({hole.x:.3f}, {hole.y:.3f})"
            if index not in spot.made:
                raise NoRoom(f"{where} is cut through by no operation; allowed: a hole that the job makes")
            try:
                out.append(self._way(hole))
            except NoRoom as e:
                raise NoRoom(f"{where}: {e}") from None
        return out

    def _way(self, hole: RoundHole) -> Way:
        cutter, outer, inner = self.cutter, self.across / 2, hole.diameter / 2
        tip = cutter.radius_at(0.0)
        if outer <= inner:
            raise NoRoom(f"a countersink of {self.across:g} mm is no wider than the hole")
        if tip >= inner:
            raise NoRoom(f"the tip of {cutter.name}, {2 * tip:g} mm across, does not go into it")
        around = inner - tip - BELOW * cutter.taper
        if around < NARROW:
            around = 0.0
        if outer - around > cutter.radius + 1e-9:
            reach = 2 * (around + cutter.radius)
            raise NoRoom(
                f"{cutter.name} makes a countersink of {reach:.4g} mm in it at most, not of {self.across:g} mm"
            )
        deep = (outer - around - tip) / cutter.taper
        if not around:
            return Way(Curve(np.array([[hole.x, hole.y, -deep]]), np.zeros(0)))
        climb = self.cutmode != "conventional"
        turn = 2 * math.pi if climb else -2 * math.pi
        return Way(Curve.circle(hole.x, hole.y, around, turn=turn).at_z(-deep), 1 if climb else -1)
