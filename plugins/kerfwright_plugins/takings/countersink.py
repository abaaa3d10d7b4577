"""What a countersink takes: a cone about the axis of its hole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar

import shapely
from attrs import define

from kerfwright.drawing import RoundHole
from kerfwright.fineness import quad_segs
from kerfwright.spot import Spot
from kerfwright.taking import Taking

if TYPE_CHECKING:
    from kerfwright_plugins.operations.countersink import Countersink

__all__ = ["CountersinkTaking"]

FACE: Mapping[str, float] = MappingProxyType(
    {
        "M1.6": 3.6,
        "M2": 4.4,
        "M2.5": 5.5,
        "M3": 6.3,
        "M3.5": 8.2,
        "M4": 9.4,
        "M5": 10.4,
        "M6": 12.6,
        "M8": 17.3,
        "M10": 20.0,
    }
)
"""Diameter at the face (mm), lower limit: ISO 15065, from memory. Written here a second time: the proof copies nothing."""


@define(frozen=True, kw_only=True)
class CountersinkTaking(Taking):
    """All inside the cone may go, to its apex or the underside; the ring outside the hole as drawn must."""

    kind: ClassVar[str] = "countersink"

    def breaks(self, operation: Countersink, spot: Spot) -> Sequence[float]:
        """Where each cone meets its hole, and where the deepest ends."""
        face, slope = _face(operation), operation.cutter.taper
        meets = [(face - hole.diameter) / 2 / slope for hole in _holes(spot)]
        end = min(face / 2 / slope, spot.thickness)
        return sorted({0.0, end, *(round(d, 6) for d in meets if 0 < d < end - 1e-6)})

    def may(self, operation: Countersink, spot: Spot, depth: float) -> shapely.Geometry:
        """Discs that narrow with depth."""
        radius = _face(operation) / 2 - depth * operation.cutter.taper
        return shapely.union_all([_disc(hole, radius) for hole in _holes(spot)]) if radius > 0 else shapely.Polygon()

    def must(self, operation: Countersink, spot: Spot, depth: float) -> shapely.Geometry:
        """The same without the holes."""
        holes = [_disc(hole, hole.diameter / 2) for hole in _holes(spot)]
        return shapely.difference(self.may(operation, spot, depth), shapely.union_all(holes))

    def faults(self, operation: Countersink, spot: Spot) -> Iterator[tuple[str, tuple[float, float]]]:
        """A knife edge: too little straight wall is left of the hole."""
        least = max(0.1, spot.thickness / 10) if operation.land is None else operation.land
        for hole in _holes(spot):
            left = spot.thickness - (_face(operation) - hole.diameter) / 2 / operation.cutter.taper
            if left < least - 1e-9:
                what = f"{left:.3f} mm of straight wall is left" if left > 0 else f"it reaches {-left:.3f} mm too deep"
                text = f"a knife edge at the hole of {hole.diameter:.4g} mm: {what}; allowed: at least {least:.3g} mm"
                yield text, (hole.x, hole.y)


def _face(operation: Countersink) -> float:
    return operation.diameter if operation.size is None else FACE[operation.size]  # type: ignore[return-value]


def _holes(spot: Spot) -> list[RoundHole]:
    return [hole for hole in (loop.circle for loop in spot.loops) if hole is not None]


def _disc(hole: RoundHole, radius: float) -> shapely.Geometry:
    return shapely.buffer(shapely.Point(hole.x, hole.y), radius, quad_segs=quad_segs(radius, 0.0005))
