"""From outlines to ways of the cutter's center: one offset for all shapes of an operation, arcs recovered."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.curve import Curve
from kerfwright.offset import offset, recover, rings_of
from kerfwright.room import mirror

__all__ = ["NARROW", "Wall", "largest_cutter", "regions", "walls"]

NARROW = 0.02
"""Center regions of less extent than this (mm) are none: a way in them is smaller than what the text can say."""


@define(frozen=True, eq=False)
class Wall:
    """One closed way along a wall: Z 0, wall on the right.

    side: the waste side of its outline, outside, inside or line. As far as this outline alone says, the center may go
    inside `region`; where that is None, outside of `grown`; where both are, on the line only. `main`: the longest way of
    its outline.
    """

    curve: Curve
    side: str
    region: shapely.Polygon | None
    grown: shapely.Polygon | None
    main: bool

    def mirrored(self) -> Wall:
        """The same in the climb frame of a conventional cut: wall on the right there."""
        region, grown = (None if g is None else mirror(g) for g in (self.region, self.grown))
        return Wall(self.curve.mirrored().reversed(), self.side, region, grown, self.main)

    def moved(self, dx: float, dy: float) -> Wall:
        """Shifted."""

        def shifted(g: shapely.Polygon | None) -> shapely.Polygon | None:
            return None if g is None else shapely.transform(g, lambda p: p + [dx, dy])

        return Wall(self.curve.moved(dx, dy), self.side, shifted(self.region), shifted(self.grown), self.main)


def walls(areas: Any, curves: list[Curve], sides: list[str], depths: list[int], clear: float) -> list[list[Wall]]:
    """Ways around each of the filled `areas` (n,) with their outlines; none where the cutter cannot enter.

    sides: outside, inside or line. depths: nesting, which says the way round for a cut on the line. `clear`: how far the
    center keeps from the wall (mm).
    """
    side = np.array(sides)
    out: list[list[Wall]] = [[] for _ in sides]
    for k in np.flatnonzero(side == "line").tolist():
        c = curves[k] if depths[k] % 2 else curves[k].reversed()
        out[k].append(Wall(c, "line", None, None, True))
    moved = np.flatnonzero(side != "line")
    if not len(moved):
        return out
    grown = offset(areas[moved], np.where(side[moved] == "outside", clear, -clear))
    parts, own = shapely.get_parts(grown, return_index=True)
    box = shapely.bounds(parts)
    wide = ~shapely.is_empty(parts) & (np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]) > NARROW)
    parts, own = parts[wide], own[wide]
    rings, of = shapely.get_rings(parts, return_index=True)
    box = shapely.bounds(rings)
    wide = np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]) > NARROW
    rings, of = rings[wide], of[wide]
    for ring, curve, part in zip(rings, recover(rings), of.tolist(), strict=True):
        k = int(moved[own[part]])
        hole = curve.signed_area < 0
        if side[k] == "outside" and not hole:
            out[k].append(Wall(curve.reversed(), "outside", None, shapely.Polygon(ring), True))
        else:  # inside of an outline, or of a bay whose mouth is too narrow for the cutter
            region = shapely.orient_polygons(shapely.Polygon(ring))
            out[k].append(Wall(curve.reversed() if hole else curve, sides[k], region, None, False))
    return [_longest(w) for w in out]


def _longest(ways: list[Wall]) -> list[Wall]:
    if not ways:
        return ways
    best = max(range(len(ways)), key=lambda k: (ways[k].region is None, ways[k].curve.length, -k))
    return [Wall(w.curve, w.side, w.region, w.grown, k == best) for k, w in enumerate(ways)]


def largest_cutter(area: shapely.Polygon, side: float = 0.0) -> float:
    """Diameter (mm) of the largest round cutter that fits inside and leaves `side` at the wall, to the hundredth below."""
    circle = shapely.maximum_inscribed_circle(area, tolerance=0.001)
    return float(np.floor((2 * (shapely.length(circle) - side) - NARROW) * 100 + 1e-6) / 100)


def regions(areas: Any, clear: float) -> tuple[Any, Any, list[list[Curve]]]:
    """Center regions (k,) inside areas with islands, which area each is of, and the ways along each region's walls.

    Wall on the right of every way.
    """
    parts, own = shapely.get_parts(offset(areas, -clear), return_index=True)
    box = shapely.bounds(parts)
    wide = ~shapely.is_empty(parts) & (np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]) > NARROW)
    parts, own = parts[wide], own[wide]
    return parts, own, [recover(rings_of(p)) for p in parts]
