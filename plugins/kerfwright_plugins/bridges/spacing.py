"""Bridges at even distances, moved to straights."""

from __future__ import annotations

import math
from typing import ClassVar

from attrs import define

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.strategy import Bridge, Bridges
from kerfwright_plugins.bridges._straights import WAYS_OUT, made, needs, raised, slope, spread

__all__ = ["Spacing"]


@define(frozen=True, kw_only=True)
class Spacing(Bridges):
    """About one bridge every `spacing` along the outline, two at least, on straights or the gentlest curves there are."""

    name: ClassVar[str] = "spacing"
    spacing: float = fields.number("from one bridge to the next", unit="mm", above=0, most=2000, default=40.0)
    slope: float = slope()

    def places(self, loop: Curve, kerf: float) -> list[Bridge]:
        """As evenly as the outline allows; fewer than asked for where there is no more room, never fewer than two."""
        each = raised(self, kerf, self.slope)
        found = spread(loop, max(2, math.ceil(loop.length / self.spacing - 1e-9)), each, kerf)
        if len(found) < 2:
            raise NoRoom(
                f"an outline of {loop.length:.1f} mm has no room for two bridges {self.width:g} mm wide: each needs "
                f"{needs(each, kerf)}; {WAYS_OUT}"
            )
        return made(self, found, self.slope)
