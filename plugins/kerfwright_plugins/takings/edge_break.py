"""What a broken edge takes: a strip along the top of the wall, which narrows with depth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, ClassVar

import shapely
from attrs import define

from kerfwright.shrinking import along, grown, shrunk
from kerfwright.spot import Spot
from kerfwright.taking import Taking

if TYPE_CHECKING:
    from kerfwright_plugins.operations.edge_break import EdgeBreak

__all__ = ["EdgeBreakTaking"]


@define(frozen=True, kw_only=True)
class EdgeBreakTaking(Taking):
    """All of the part within the bevel's width of its edge may go, at its foot nothing. In sharp inside corners the cone
    does not come so far: there what it reaches, with its axis as far from both walls as the tip asks, must go.
    """

    kind: ClassVar[str] = "edge_break"

    def breaks(self, operation: EdgeBreak, spot: Spot) -> Sequence[float]:
        """The top, and the foot of the bevel."""
        return (0.0, operation.width / operation.cutter.taper)

    def may(self, operation: EdgeBreak, spot: Spot, depth: float) -> shapely.Geometry:
        """The strip at a depth; beside it, on the side of the kerf, nothing stays anyway."""
        wide = operation.width - depth * operation.cutter.taper
        return shapely.union_all([along(area, wide) for area, _ in _edges(spot)])

    def must(self, operation: EdgeBreak, spot: Spot, depth: float) -> shapely.Geometry:
        """What a cone of that size reaches."""
        beside = operation.cutter.tip_diameter / 2 + operation.below * operation.cutter.taper
        reach = beside + operation.width - depth * operation.cutter.taper
        out = []
        for area, side in _edges(spot):
            axis = grown(area, beside) if side == "outside" else shrunk(area, beside)
            out.append(_part(area, side, along(axis, reach)))
        return shapely.union_all(out)

    def faults(self, operation: EdgeBreak, spot: Spot) -> Iterator[tuple[str, tuple[float, float]]]:
        """A knife edge: too little upright wall is left below the bevel."""
        left, least = spot.thickness - operation.width / operation.cutter.taper, max(0.1, spot.thickness / 10)
        if left < least - 1e-9:
            x, y = spot.loops[0].curve.start[:2].tolist()
            yield (
                f"a knife edge: {max(left, 0.0):.3f} mm of upright wall is left; allowed: at least {least:.3g} mm",
                (x, y),
            )


def _edges(spot: Spot) -> Iterator[tuple[shapely.Polygon, str]]:
    for loop, index in zip(spot.loops, spot.indices, strict=True):
        side = spot.made.get(index, "")
        if side in ("outside", "inside"):
            yield loop.curve.polygon(), side


def _part(area: shapely.Polygon, side: str, strip: shapely.Geometry) -> shapely.Geometry:
    """What of a strip lies on the side that stays."""
    return shapely.intersection(strip, area) if side == "outside" else shapely.difference(strip, area)
