"""As many bridges as asked for."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.strategy import Bridge, Bridges
from kerfwright_plugins.bridges._straights import WAYS_OUT, made, needs, raised, slope, spread

__all__ = ["Count"]


@define(frozen=True, kw_only=True)
class Count(Bridges):
    """So many bridges on each outline, as evenly as its straights allow. Two hold a piece, three keep it from tilting
    (common practice), so three is the default.
    """

    name: ClassVar[str] = "count"
    count: int = fields.whole("how many on each outline", least=2, most=200, default=3)
    slope: float = slope()

    def places(self, loop: Curve, kerf: float) -> list[Bridge]:
        """Exactly so many. Raises NoRoom where the outline has room for fewer."""
        each = raised(self, kerf, self.slope)
        found = spread(loop, self.count, each, kerf)
        if len(found) < self.count:
            raise NoRoom(
                f"an outline of {loop.length:.1f} mm has room for {len(found)} of {self.count} bridges {self.width:g} mm "
                f"wide: each needs {needs(each, kerf)}; {'ask for fewer, ' if len(found) > 1 else ''}{WAYS_OUT}"
            )
        return made(self, found, self.slope)
