"""Passes that get thinner towards the bottom."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.strategy import Passes

__all__ = ["Thinning"]


@define(frozen=True, kw_only=True)
class Thinning(Passes):
    """The last passes get thinner, so that the underside of a laminate splinters less.

    Counted from the bottom, a pass is `growth` times as thick as the one below it, and never thicker than the axial depth
    of the rates. All are thinned alike until they add up. The defaults are what this workshop is used to.
    """

    name: ClassVar[str] = "thinning"
    last: float = fields.number("thickness of the last pass, at most", unit="mm", least=0.05, most=10, default=0.3)
    growth: float = fields.number("how much thicker the pass above is", unit="1", least=1.1, most=5, default=1.5)

    def levels(self, top: float, bottom: float, axial_depth: float) -> Floats:
        """Z of each pass, falling from `top` to exactly `bottom`."""
        depth = top - bottom
        thick = [min(self.last, axial_depth)]
        while sum(thick) < depth - 1e-9:
            thick.append(min(thick[-1] * self.growth, axial_depth))
        down = np.cumsum(thick[::-1]) * depth / sum(thick)
        return np.append(top - down[:-1], bottom)
