"""The sheet as bought and how it lies on the machine: thickness range, board, grain, hold, zero, keepouts."""

from __future__ import annotations

import attrs
import shapely
from attrs import frozen

from kerfwright import fields
from kerfwright.material import Material

__all__ = ["HOLDS", "Grain", "Keepout", "Sheet", "Thickness", "Zero"]

HOLDS = ("screws", "tape", "vacuum", "frame")


@frozen
class Thickness:
    """Nominal thickness and the range measured (mm): least <= nominal <= most."""

    nominal: float = fields.number("thickness as bought", unit="mm", above=0, most=50)
    least: float = fields.number(
        "thinnest place measured",
        unit="mm",
        above=0,
        most=50,
        default=attrs.Factory(lambda self: self.nominal, takes_self=True),
    )
    most: float = fields.number(
        "thickest place measured",
        unit="mm",
        above=0,
        most=50,
        default=attrs.Factory(lambda self: self.nominal, takes_self=True),
    )

    def __attrs_post_init__(self) -> None:
        if not self.least <= self.nominal <= self.most:
            raise ValueError(
                f"found least {self.least:g}, nominal {self.nominal:g}, most {self.most:g}, allowed: in rising order"
            )


@frozen
class Grain:
    """Direction of the grain on the sheet, and the turns a part may have against it (degrees)."""

    along: float = fields.number("direction of the grain, from X", unit="deg", default=0.0)
    turns: tuple[float, ...] = fields.custom("turns against the grain a part may have", "numbers:deg", default=())


@frozen
class Zero:
    """Where the program's zero is touched off on the sheet."""

    x: str | float = fields.custom(
        "left, center, right, or mm from the left edge", "edge:left,center,right", default="left"
    )
    y: str | float = fields.custom(
        "front, center, back, or mm from the front edge", "edge:front,center,back", default="front"
    )
    z: str = fields.choice("the face the cutter touches", ("sheet_top", "board_top"), default="sheet_top")


@frozen(eq=False)
class Keepout:
    """A screw, clamp or fixture: plan area in sheet coordinates (mm) and height above the sheet's top."""

    area: shapely.Polygon = fields.custom("circle {center, diameter}, rectangle {corner, size} or polygon", "area")
    height: float = fields.number("height above the sheet's top", unit="mm", least=0)


@frozen(eq=False)
class Sheet:
    """The material on the machine. `size` None: the extent of the parts plus a margin, and a warning."""

    material: Material = fields.custom("a name from `list materials`, or a mapping", "material")
    size: tuple[float, float] | None = fields.point(
        "size in X and Y",
        above=0,
        optional=True,
        otherwise="the parts' extent and a margin, and a warning that nobody measured it",
    )
    thickness: Thickness = fields.custom("thickness, or {nominal, least, most}", "thickness")
    breakthrough: float = fields.number(
        "how far below the underside a through cut goes", unit="mm", least=0, most=10, default=0.3
    )
    board: float = fields.number("thickness of the sacrificial board", unit="mm", least=0, default=0.0)
    grain: Grain = fields.nested("grain", Grain, default=Grain())
    hold: str = fields.choice("how the sheet is held", HOLDS, default="screws")
    zero: Zero = fields.nested("where the program's zero is touched off", Zero, default=Zero())
    keepout: tuple[Keepout, ...] = fields.listed("screws, clamps and fixtures", Keepout)
