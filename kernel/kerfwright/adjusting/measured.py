"""Measured sizes of a part: what was measured, between what, along which direction, and how well."""

from __future__ import annotations

from attrs import evolve, frozen

from kerfwright import fields

__all__ = ["KINDS", "Measured", "MeasuredFile"]

KINDS = ("outside", "inside", "centers")
"""Across a piece between parallel walls, across an opening or hole, between the centers of two holes."""


@frozen
class Measured:
    """One size. Lengths in mm; `along` in degrees from the sheet's X, counter-clockwise: 0 is X, 90 is Y.

    An outside or inside size lies square between two parallel walls, or is a diameter: from corner to corner is no size here.
    `uncertainty` is standard (one standard deviation), of the measuring and the piece together. `tolerance` are the
    lower and upper deviation from nominal. `cutter` made the walls; centers need none.
    `cut_at` is what the paths were made for, where that is no longer what the job says.
    """

    name: str = fields.text("what it is called")
    kind: str = fields.choice("what was measured", KINDS)
    nominal: float = fields.number("size in the drawing", unit="mm", above=0)
    measured: float = fields.number("size measured", unit="mm", above=0)
    uncertainty: float | None = fields.number("standard uncertainty", unit="mm", above=0, optional=True)
    along: float = fields.custom("x, y or an angle from the sheet's X in deg", "along")
    tolerance: tuple[float, float] | None = fields.custom(
        "a number above 0 mm, or lower and upper deviation", "limits", optional=True
    )
    cutter: str | None = fields.text("cutter that made the walls", optional=True)
    cut_at: float | None = fields.number(
        "cutting diameter that the paths of this piece were made for", unit="mm", above=0, most=50, optional=True
    )

    def __attrs_post_init__(self) -> None:
        if abs(self.measured - self.nominal) > 1 + 0.02 * self.nominal:
            found = f"measured: found {self.measured:g} mm for a nominal size of {self.nominal:g} mm"
            raise ValueError(f"{found}, allowed: at most 1 mm and 2 % off; a slip of the pen, or another unit?")

    @property
    def deviation(self) -> float:
        """Measured less nominal (mm)."""
        return self.measured - self.nominal


@frozen
class MeasuredFile:
    """A file of sizes; what stands beside them holds where a size says nothing."""

    units: str = fields.choice("units of plain numbers", ("mm", "inch"), default="mm")
    uncertainty: float | None = fields.number("standard uncertainty", unit="mm", above=0, optional=True)
    tolerance: tuple[float, float] | None = fields.custom(
        "a number above 0 mm, or lower and upper deviation", "limits", optional=True
    )
    cut_at: float | None = fields.number(
        "cutting diameter that the paths of this piece were made for", unit="mm", above=0, most=50, optional=True
    )
    sizes: tuple[Measured, ...] = fields.listed("mappings of name, kind, nominal, measured, along", Measured)

    def filled(self) -> tuple[Measured, ...]:
        """The sizes, each with what holds for all where it says nothing."""
        return tuple(
            evolve(
                s,
                uncertainty=self.uncertainty if s.uncertainty is None else s.uncertainty,
                tolerance=self.tolerance if s.tolerance is None else s.tolerance,
                cut_at=self.cut_at if s.cut_at is None else s.cut_at,
            )
            for s in self.sizes
        )
