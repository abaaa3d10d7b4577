"""The tool in the spindle (ISO 13399 sense)."""

from __future__ import annotations

import math

from attrs import frozen

from kerfwright import fields

__all__ = ["FLUTES", "FORMS", "Cutter", "Holder"]

FORMS = ("end_mill", "drill", "chamfer_mill")
"""A chamfer mill is a cone (V cutter), with a flat of `tip_diameter` at its tip. Words of ISO 13399, from memory."""
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
    form: str = fields.choice("what kind of cutter it is", FORMS)
    flutes: str = fields.choice("direction of the flutes", FLUTES, default="up")
    diameter: float = fields.number("cutting diameter DC", unit="mm", above=0, most=50)
    teeth: int = fields.whole("number of teeth", least=1, most=24, default=2)
    flute_length: float = fields.number("length of the cutting part", unit="mm", above=0, most=200)
    reach: float | None = fields.number(
        "length that may enter the work, the relieved neck included",
        unit="mm",
        above=0,
        optional=True,
        otherwise="the flutes",
    )
    shank: float | None = fields.number("diameter of the shank", unit="mm", above=0, optional=True)
    point_angle: float = fields.number(
        "included angle of a drill's point, or of a chamfer mill's cone", unit="deg", above=0, most=180, default=180.0
    )
    tip_diameter: float = fields.number("flat at the tip of a chamfer mill", unit="mm", least=0, most=50, default=0.0)
    most_spindle: float | None = fields.number(
        "fastest speed that it bears", unit="rpm", above=0, optional=True, otherwise="not known"
    )
    holder: Holder | None = fields.nested("nut above the cutter", Holder, optional=True)
    life: float | None = fields.number("metres it cuts before it is changed", unit="m", above=0, optional=True)
    price: float | None = fields.number(
        "what one costs, in the shop's currency", unit="money", least=0, most=1e9, optional=True
    )
    measured: float | None = fields.number(
        "measured cutting diameter", unit="mm", above=0, most=50, optional=True, otherwise="it cuts as marked"
    )

    def __attrs_post_init__(self) -> None:
        if self.form != "chamfer_mill":
            if self.tip_diameter:
                raise ValueError(f"tip_diameter: found {self.tip_diameter:g} mm, allowed: only on a chamfer_mill")
            return
        if self.point_angle >= 180:
            raise ValueError(
                "point_angle: found nothing, allowed: a number above 0 and below 180 deg, its cone's angle"
            )
        if self.tip_diameter >= self.cuts:
            found = f"tip_diameter: found {self.tip_diameter:g} mm"
            raise ValueError(f"{found}, allowed: less than the diameter, {self.cuts:g} mm")
        if self.flute_length < self.cone_length - 1e-3:
            found = f"flute_length: found {self.flute_length:g} mm"
            raise ValueError(f"{found}, allowed: at least {self.cone_length:.4g} mm, the length of its cone")

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
        if self.form != "drill" or self.point_angle >= 180:
            return 0.0
        return self.cuts / 2 / math.tan(math.radians(self.point_angle) / 2)

    @property
    def taper(self) -> float:
        """How much the radius of a chamfer mill grows with height above its tip (mm per mm); 0 for a cylinder."""
        return math.tan(math.radians(self.point_angle) / 2) if self.form == "chamfer_mill" else 0.0

    @property
    def cone_length(self) -> float:
        """Height of a chamfer mill's cone, from its tip to its full diameter; 0 for a cylinder."""
        return (self.cuts - self.tip_diameter) / 2 / self.taper if self.taper else 0.0

    def radius_at(self, height: float) -> float:
        """Radius that it cuts at a height above its tip (mm), a drill's point left out.

        >>> Cutter(form="chamfer_mill", diameter=6, tip_diameter=0.2, point_angle=90, flute_length=4).radius_at(0.5)
        0.6
        """
        if not self.taper:
            return self.radius
        return round(min(self.radius, self.tip_diameter / 2 + max(height, 0.0) * self.taper), 9)
