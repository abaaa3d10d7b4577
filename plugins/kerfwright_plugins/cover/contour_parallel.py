"""An area cleared in rings."""

from __future__ import annotations

from typing import ClassVar

import shapely
from attrs import define

from kerfwright.curve import Curve
from kerfwright.offset import recover, rings_of
from kerfwright.strategy import Cover
from kerfwright_plugins.cover._detours import detoured
from kerfwright_plugins.cover._rings import rings

__all__ = ["ContourParallel"]


@define(frozen=True, kw_only=True)
class ContourParallel(Cover):
    """Rings parallel to the wall (ISO 14649-11's contour_parallel), the innermost first, each island's with the ring around it.

    Up to half of the diameter between rings nothing stays between them. Further apart, cusps in corners would stay: the
    ring inside a cusp takes it by a short detour, while the material beyond still holds it.
    """

    name: ClassVar[str] = "contour_parallel"

    def cover(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
        """Closed rings. Raises NoRoom where there is no region."""
        curves = recover(rings_of(rings(region, radius, advance)[0]))
        return curves if advance <= radius else detoured(region, curves, radius)
