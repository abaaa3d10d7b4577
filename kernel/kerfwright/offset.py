"""Cutter-center regions: outlines moved sideways by a distance, in one GEOS call."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from kerfwright.fineness import quad_segs
from kerfwright.recovery import recover
from kerfwright.sweep import rings_of

__all__ = ["offset", "recover", "rings_of"]


def offset(polygons: Any, distance: Any, tolerance: float = 0.0005) -> Any:
    """Polygons grown (positive `distance`, mm) or shrunk (negative) with round corners, for arrays too.

    Outer rings run counter-clockwise, holes clockwise: inside lies to the left of travel. Chords of new corners keep within
    `tolerance`, from inside. The answer may be empty, or a MultiPolygon where a neck has closed. Raises ValueError for a
    distance that is not finite and for an outline that crosses itself: GEOS answers the one with None and loses half of
    the other, both in silence.
    """
    if not np.isfinite(distance).all():
        raise ValueError(f"found an offset of {distance}, allowed: a finite number of mm")
    if not np.all(shapely.is_valid(polygons)):
        raise ValueError("an outline that crosses or touches itself has no offset")
    widest = float(np.max(np.abs(distance), initial=0.0))
    grown = shapely.buffer(polygons, distance, quad_segs=quad_segs(widest, tolerance))
    return shapely.orient_polygons(grown)
