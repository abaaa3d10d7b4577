"""Areas shrunk, grown and opened by what a round cutter takes along their walls: plain geometry, for the proof.

No area is offset as a whole: GEOS simplifies its input first, and may drop corners where fine chords meet a long edge
(see `sweep`). What is taken or added here is the sweep of the walls, in strands that end at corners.
"""

from __future__ import annotations

import numpy as np
import shapely

from kerfwright.fineness import quad_segs
from kerfwright.reaching import unreached, windows
from kerfwright.sweep import rings_of, strands

__all__ = ["along", "grown", "opened", "shrunk"]

HAIR = 0.001
"""A slot that is this much (mm) too narrow for the cutter counts as reached, so that none is lost to rounding."""
SIDES = np.array([-1.0, -1.0, 1.0, 1.0])
SLOT = 0.2
"""What such a slot adds begins this far (mm) from where the cutter has room: nearer, it is a sharp tip."""


def along(area: shapely.Geometry, radius: float, tolerance: float = 0.0005) -> shapely.Geometry:
    """What a cutter of `radius` (mm) takes with its center on the walls of an area; arcs within `tolerance`, from inside."""
    points, ring = shapely.get_coordinates(rings_of(area), return_index=True)
    if not len(points):
        return shapely.Polygon()
    lines, _ = strands(points, np.concatenate([[True], np.diff(ring) > 0]))
    return shapely.union_all(shapely.buffer(lines, radius, quad_segs=quad_segs(radius, tolerance)))


def shrunk(area: shapely.Geometry, radius: float, tolerance: float = 0.0005) -> shapely.Geometry:
    """Where the center of a cutter of `radius` (mm) may stand inside an area."""
    return shapely.difference(area, along(area, radius, tolerance))


def grown(area: shapely.Geometry, radius: float, tolerance: float = 0.0005) -> shapely.Geometry:
    """All within `radius` (mm) of an area."""
    return shapely.union(area, along(area, radius, tolerance))


def opened(area: shapely.Geometry, radius: float, tolerance: float = 0.0005) -> shapely.Geometry:
    """What of an area a cutter of `radius` (mm) can reach: shrunk and grown again.

    A slot as wide as the cutter, or narrower by 0.002 mm, counts too; a sharp tip does not reach farther by that. Only near
    walls that it does not reach is anything worked out; elsewhere the area is what it was.
    """
    short = unreached(area, radius)
    if not len(short):
        return area
    near = windows(short, radius)
    if 2 * near.area > shapely.box(*area.bounds).area:
        return _opened(area, radius, tolerance)
    # a cutter over a place near the wall lies within two radii of it
    around = shapely.union_all(shapely.box(*(shapely.bounds(shapely.get_parts(near)) + 4 * radius * SIDES).T))
    some = _opened(shapely.intersection(area, around), radius, tolerance)
    return shapely.union(shapely.difference(area, near), shapely.intersection(some, near))


def _opened(area: shapely.Geometry, radius: float, tolerance: float) -> shapely.Geometry:
    """The same, all of it. Chords of the center region are finer, because between two corners the cutter comes farther by
    many times what they lack.
    """
    centers = shrunk(area, radius, tolerance / 4)
    more = shapely.difference(shrunk(area, radius - HAIR, tolerance), grown(centers, SLOT, 0.01))
    out = grown(centers, radius, tolerance)
    return out if shapely.is_empty(more) else shapely.union(out, grown(more, radius - HAIR, tolerance))
