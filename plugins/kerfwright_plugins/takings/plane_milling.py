"""What plane milling takes: all that a cutter reaches whose center stays over the area and away from keepouts."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from typing import TYPE_CHECKING, ClassVar

import shapely
from attrs import define

from kerfwright.shrinking import grown
from kerfwright.spot import Spot
from kerfwright.taking import Taking

if TYPE_CHECKING:
    from kerfwright_plugins.operations.plane_milling import PlaneMilling

__all__ = ["PlaneMillingTaking"]


@define(frozen=True, kw_only=True)
class PlaneMillingTaking(Taking):
    """Upright walls: the edges of the face, and around keepouts what is left for them."""

    kind: ClassVar[str] = "plane_milling"

    def breaks(self, operation: PlaneMilling, spot: Spot) -> Sequence[float]:
        """The face and the floor."""
        return (0.0, operation.depth)

    def may(self, operation: PlaneMilling, spot: Spot, depth: float) -> shapely.Geometry:
        """The same at every depth."""
        radius = operation.cutter.radius
        centers = _area(spot)
        for one in spot.keepouts:
            centers = shapely.difference(centers, grown(one, radius + operation.clear))
        return grown(centers, radius)

    def must(self, operation: PlaneMilling, spot: Spot, depth: float) -> shapely.Geometry:
        """Of that, what lies on the face."""
        return shapely.intersection(self.may(operation, spot, depth), _area(spot))


def _area(spot: Spot) -> shapely.Geometry:
    """Even-odd."""
    return reduce(shapely.symmetric_difference, [one.curve.polygon() for one in spot.loops])
