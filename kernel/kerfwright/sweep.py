"""What a round cutter takes on its way: plain geometry that planning and proof may share.

Two traps of GEOS 3.14, both silent, are why a sweep is made of open strands that end at corners:

- It takes a closed LineString for a ring, whose buffer can have a false hole (10.10 for 12.63 mm2 on a ring of
  1.5 x 3.5 mm with radius 0.9).
- Before it offsets a line it drops vertices of dents within 1 % of the distance. Where fine chords meet a long edge at
  a corner it drops the corner, then its neighbours: four points 0.04, 0.03 and 16 mm apart gave 0.16 mm2 too much for
  a radius of 4.2, a whole ring with such corners lost a pocket of 11 mm2. The ends of a line are never dropped.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.curve import Curve
from kerfwright.fineness import quad_segs

__all__ = ["corners", "flat_runs", "rings_of", "strands", "swept", "unswept"]


def rings_of(geometries: Any) -> Any:
    """All rings of polygons and multipolygons, as an array.

    `shapely.get_rings` alone passes over a MultiPolygon in silence, and a buffer may always return one.
    """
    return shapely.get_rings(shapely.get_parts(geometries))


def flat_runs(curves: Sequence[Curve], tolerance: float = 0.001) -> tuple[Floats, Bools]:
    """Points (m, 2) of all curves within `tolerance`, and a mark (m,) at the first of each curve."""
    points = [c.flat(tolerance)[0][:, :2] for c in curves]
    count = np.array([len(p) for p in points], np.int64)
    starts = np.zeros(int(count.sum()), bool)
    starts[np.cumsum(count) - count] = True
    return (np.vstack(points) if points else np.zeros((0, 2))), starts


def strands(points: Floats, starts: Bools, most: int = 48) -> tuple[Any, Ints]:
    """Open LineStrings of runs of points (m, 2), and the run that each belongs to.

    `starts` (m,) marks the first point of each run. Strands share their end points, have at most `most` edges, and end
    at corners and where long edges meet short ones. None is closed: a run has two at least (one where it has a single
    edge). A run of one point is a strand of no length.
    """
    if not len(points):
        return np.zeros(0, object), np.zeros(0, np.int64)
    first = np.flatnonzero(starts)
    alone = np.flatnonzero(np.diff(np.concatenate([first, [len(points)]])) == 1)
    if len(alone):
        points = np.insert(points, first[alone], points[first[alone]], axis=0)
        starts = np.insert(starts, first[alone] + 1, False)
        first = np.flatnonzero(starts)
    edge = np.flatnonzero(~starts) - 1  # each edge by its first point
    run = np.cumsum(starts)[edge] - 1
    count = np.bincount(run, minlength=len(first))
    begin = np.cumsum(count) - count
    chunk = np.clip(-(-count // 2), 1, most)
    corner = corners(points)[edge]
    # counted anew from each corner
    here = np.arange(len(edge))
    since = here - np.maximum.accumulate(np.where(corner | (here == begin[run]), here, 0))
    opens = since % chunk[run] == 0
    # an edge gives its end, and its start too where it opens a strand
    repeat = 1 + opens
    index = np.repeat(edge, repeat)
    index[np.cumsum(repeat) - 1] += 1
    strand = np.repeat(np.cumsum(opens) - 1, repeat)
    return shapely.linestrings(points[index], indices=strand), run[opens]


def corners(points: Floats) -> Bools:
    """Which points (m,) no buffer may drop: where edges differ more than twofold, or bend by 0.3 rad or 0.02 mm."""
    d = np.diff(points, axis=0)
    edge = np.hypot(*d.T)
    short, long = np.minimum(edge[1:], edge[:-1]), np.maximum(edge[1:], edge[:-1])
    bend = np.abs(np.arctan2(d[:-1, 0] * d[1:, 1] - d[:-1, 1] * d[1:, 0], (d[:-1] * d[1:]).sum(1)))
    out = np.zeros(len(points), bool)
    out[1:-1] = (long > 2 * short) | (bend > 0.3) | (short * bend > 0.02)
    return out


def swept(curves: Sequence[Curve], radius: float, tolerance: float = 0.001, most: int = 48) -> shapely.Geometry:
    """Union of what a cutter of `radius` takes along curves, in plan; round edges within `tolerance`, from inside."""
    lines, _ = strands(*flat_runs(curves, tolerance), most)
    return shapely.union_all(shapely.buffer(lines, radius, quad_segs=quad_segs(radius, tolerance)))


def unswept(region: shapely.Geometry, curves: Sequence[Curve], radius: float, slack: float = 0.01) -> Any:
    """What a cutter of `radius` reaches from the center region `region` and `curves` leave: an array of polygons.

    Judged with a cutter a little smaller (half of `slack` for the sweep, `slack` for what it should reach), so that chords
    and recovered arcs, within 0.002 mm together, leave no slivers and every gap in between still counts.
    """
    need = shapely.buffer(region, radius - slack, quad_segs=quad_segs(radius, 0.0005))
    left = shapely.get_parts(shapely.difference(need, swept(curves, radius - slack / 2)))
    return left[~shapely.is_empty(left)]
