"""Cutter-center regions: outlines moved sideways by a distance.

Trap: GEOS 3.14 drops vertices of dents before it offsets, corners too where fine chords meet a long edge (see `sweep`), and
loses whole pockets by it, in silence: 5 of 1000 outlines with fillets at 1 mm, more at 2 mm. Two guards: no long edge
stands beside a short one; and what is dropped depends on the direction of travel, so every outline is offset both ways round, and where the
two differ the sweep of the boundary, whose strands end at corners, decides.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from kerfwright.fineness import quad_segs
from kerfwright.grading import graded
from kerfwright.recovery import recover, recover_lines
from kerfwright.sweep import rings_of, strands

__all__ = ["CORNERS", "UNEVEN", "offset", "recover", "recover_lines", "rings_of"]

CORNERS = 0.0005
"""Distance (mm) of a chord from the round corner it stands for, where the corner is a whole number of chords."""
UNEVEN = 2.25
"""So many times that at most in other corners: GEOS rounds the count, so that a chord may be one and a half steps long and
lies that much squared inside (measured: 1.65 times, on a gear).
"""
AGREE = 1e-5
"""By how much (mm) two offsets of one outline may differ, in area over length, and count as the same."""


def offset(polygons: Any, distance: Any, tolerance: float = CORNERS) -> Any:
    """Polygons grown (positive `distance`, mm) or shrunk (negative) with round corners, for arrays too.

    Outer rings run counter-clockwise, holes clockwise: inside lies to the left of travel. Chords of new corners keep within
    `tolerance`, from inside; in corners of few chords within `UNEVEN` times that. The answer may be empty, or a MultiPolygon where a neck has closed. Raises ValueError for a
    distance that is not finite and for an outline that crosses itself: GEOS answers the one with None and loses half of
    the other, both in silence.
    """
    if not np.isfinite(distance).all():
        raise ValueError(f"found an offset of {distance}, allowed: a finite number of mm")
    if not np.all(shapely.is_valid(polygons)):
        raise ValueError("an outline that crosses or touches itself has no offset")
    shape = np.shape(polygons)
    fine = graded(polygons).reshape(shape)
    polygons, fine, distance = np.broadcast_arrays(np.asarray(polygons, object), fine, np.asarray(distance, float))
    quads = quad_segs(float(np.max(np.abs(distance), initial=0.0)), tolerance)
    grown = np.array(shapely.buffer(fine, distance, quad_segs=quads), object)
    again = shapely.buffer(shapely.reverse(fine), distance, quad_segs=quads)
    apart = np.abs(shapely.area(grown) - shapely.area(again))
    for k in np.argwhere(apart > AGREE * shapely.length(polygons)):
        at = tuple(k)
        grown[at] = _by_sweep(polygons[at], float(distance[at]), quads)
    return shapely.orient_polygons(grown)


def _by_sweep(polygon: shapely.Geometry, distance: float, quads: int) -> shapely.Geometry:
    """The same from the sweep of its boundary, slower: without what a cutter takes along it, or with that."""
    points, ring = shapely.get_coordinates(rings_of(polygon), return_index=True)
    lines, _ = strands(points, np.concatenate([[True], np.diff(ring) > 0]))
    sweep = shapely.union_all(shapely.buffer(lines, abs(distance), quad_segs=quads))
    return shapely.union(polygon, sweep) if distance > 0 else shapely.difference(polygon, sweep)
