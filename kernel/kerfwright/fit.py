"""Limits of a hole by a class of ISO 286, in place of the job's tolerance: for the inspection sheet and what is told."""

from __future__ import annotations

from attrs import frozen

from kerfwright import fields
from kerfwright.standards import HOLES, hole_limits

__all__ = ["ALIKE", "Fit"]

ALIKE = 0.005
"""Circles whose diameters differ by less (mm) are the same size."""


@frozen
class Fit:
    """All circles of a part that are drawn with one diameter (mm). `nominal` is what the class counts from, where the drawing
    has another: a hole of 5 H12 that is drawn in the middle of its limits, 5.06, has `circles: 5.06, nominal: 5`.
    """

    circles: float = fields.number("diameter in the drawing", unit="mm", above=0)
    grade: str = fields.choice("class of ISO 286", HOLES, key="class")
    nominal: float | None = fields.number(
        "size that the class counts from", unit="mm", above=0, most=250, optional=True
    )

    def __attrs_post_init__(self) -> None:
        if self.nominal is not None and abs(self.circles - self.nominal) > 1:
            raise ValueError(
                f"nominal: found {self.nominal:g} mm, allowed: within 1 mm of circles, {self.circles:g} mm"
            )
        hole_limits(self.nominal or self.circles, int(self.grade[1:]))  # refuses what the standard has no row for

    def of(self, diameter: float) -> bool:
        """It is for a circle of this diameter."""
        return abs(self.circles - diameter) < ALIKE

    @property
    def limits(self) -> tuple[float, float]:
        """Least and greatest diameter (mm)."""
        size = self.nominal or self.circles
        low, high = hole_limits(size, int(self.grade[1:]))
        return size + low, size + high
