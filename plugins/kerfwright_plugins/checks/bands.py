"""Strips along outlines, discs and rings: the pieces that targets are made of."""

from __future__ import annotations

from typing import Any

import shapely

from kerfwright.evidence import quads
from kerfwright.setup import Piece
from kerfwright.shrinking import along, shrunk

__all__ = ["band", "disc", "rings", "without"]


def rings(area: shapely.Geometry) -> Any:
    """Rings of the polygons of an area, outer and inner."""
    parts = shapely.get_parts(area)
    return shapely.get_rings(parts[shapely.get_type_id(parts) == 3])


def disc(piece: Piece, loop: int, radius: float) -> shapely.Geometry:
    """A disc in the middle of a round loop."""
    hole = piece.loops[loop].circle
    if hole is None:  # loading refuses it; were it not refused, nothing may be drilled there
        return shapely.Polygon()
    return shapely.buffer(shapely.Point(hole.x, hole.y), radius, quad_segs=quads(radius))


def band(outline: shapely.Polygon, side: str, width: float, left: float = 0.0) -> shapely.Geometry:
    """A strip of a width along one side of an outline, beside what is left there."""
    wide = along(outline, width + left)
    strip = shapely.difference(wide, outline) if side == "outside" else shapely.intersection(wide, outline)
    return shapely.difference(strip, along(outline, left)) if left else strip


def without(area: shapely.Geometry, left: float) -> shapely.Geometry:
    """An area without what is left along its walls."""
    return shrunk(area, left) if left else area
