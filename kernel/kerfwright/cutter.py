"""The tool in the spindle (ISO 13399 sense)."""

from __future__ import annotations

import math

from attrs import frozen

from kerfwright import fields

__all__ = ["FLUTES", "FORMS", "Cutter", "Holder"]

FORMS = ("end_mill", "drill")
FLUTES = ("up", "down", "compression", "straight", "burr")


@frozen
class Holder:
    """The nut or collet above the cutter: diameter, and the cutter's free length below it (mm)."""

    diameter: float = fields.number("diameter of the nut", unit="mm", above=0)
    above: float = fields.number("free length of the cutter below the nut", unit="mm", above=0)


@frozen
class Cutter:
    """Geometry of one cutter, lengths in mm, angles in degrees.

    `diameter` is DC as marked; `measured` its measured value, used for the path where given.
    """

    name: str = fields.text("what the job calls it", default="")
    number: int = fields.whole("number in the program's T word", least=1, most=99, default=1)
    form: str = fields.choice("form", FORMS)
    flutes: str = fields.choice("direction of the flutes", FLUTES, default="up")
    diameter: float = fields.number("cutting diameter DC", unit="mm", above=0, most=50)
    teeth: int = fields.whole("number of teeth", least=1, most=24, default=2)
    flute_length: float = fields.number("length of the cutting part", unit="mm", above=0, most=200)
    reach: float | None = fields.number(
        "length that may enter the work, the relieved neck included", unit="mm", above=0, optional=True
    )
    shank: float | None = fields.number("diameter of the shank", unit="mm", above=0, optional=True)
    point_angle: float = fields.number(
        "included angle of a drill's point", unit="deg", above=0, most=180, default=180.0
    )
    holder: Holder | None = fields.nested("nut above the cutter", Holder, optional=True)
    life: float | None = fields.number("metres it cuts before it is changed", unit="m", above=0, optional=True)
    price: float | None = fields.number("price", unit="money", least=0, optional=True)
    measured: float | None = fields.number("measured cutting diameter", unit="mm", above=0, most=50, optional=True)

    @property
    def cuts(self) -> float:
        """The diameter that it cuts: measured where known, else DC."""
        return self.diameter if self.measured is None else self.measured

    @property
    def radius(self) -> float:
        """Half of what it cuts."""
        return self.cuts / 2

    @property
    def point_length(self) -> float:
        """How far a drill's point reaches below its full diameter: (D/2)/tan(angle/2).

        >>> round(Cutter(form="drill", diameter=3, point_angle=118, flute_length=20).point_length, 3)
        0.901
        """
        return 0.0 if self.point_angle >= 180 else self.cuts / 2 / math.tan(math.radians(self.point_angle) / 2)
