"""What an operation with an allowance must not touch."""

from __future__ import annotations

import numpy as np
import shapely

from kerfwright.operation import Drill, Pocket
from kerfwright.setup import Work
from kerfwright.shrinking import along
from kerfwright_plugins.checks.bands import band, disc, without
from kerfwright_plugins.checks.faces import even_odd
from kerfwright_plugins.checks.target import CLOSE, Must, Target

__all__ = ["allowed"]


def allowed(wanted: Target, must: Must) -> tuple[shapely.Geometry, shapely.Geometry]:
    """What an operation with an allowance must not touch, in plan: the layer at the wall, and what stands under its
    floor. Not what operations before it take.
    """
    k, work = must.piece, must.work
    op, polygons, piece = work.operation, wanted.outlines[k], wanted.setup.pieces[k]
    if isinstance(op, Pocket):
        loops = [i for p, i in work.loops if p == k]
        whole = even_odd(piece, polygons, loops)
        under = without(whole, op.allowance.side)
        layer = shapely.difference(whole, under)
    else:
        side, outline = work.waste(piece.loops[must.loop]), polygons[must.loop]
        layer = band(outline, side, op.allowance.side) if op.allowance.side else shapely.Polygon()
        under = band(outline, side, op.cutter.cuts, op.allowance.side)
    place = next(n for n, w in enumerate(wanted.setup.works) if w is work)
    before = [w for w in wanted.setup.works[:place] if any(p == k for p, _ in w.loops)]
    deep = [w for w in before if wanted.floor(w) < must.floor - CLOSE]
    return (
        shapely.difference(layer, _area(wanted, before, k, under)),
        shapely.difference(under, _area(wanted, deep, k, under)),
    )


def _area(wanted: Target, works: list[Work], k: int, near: shapely.Geometry) -> shapely.Geometry:
    """All that some works take of a piece near a place, in plan."""
    piece, polygons, gone = wanted.setup.pieces[k], wanted.outlines[k], []
    for work in works:
        op, loops = work.operation, [i for p, i in work.loops if p == k]
        if isinstance(op, Pocket):
            gone.append(without(even_odd(piece, polygons, loops), op.allowance.side))
            continue
        reach = op.cutter.cuts + op.allowance.side
        b = shapely.bounds(polygons[loops]) + np.array([-1, -1, 1, 1]) * reach
        x0, y0, x1, y1 = shapely.bounds(near)
        here = (b[:, 0] <= x1) & (b[:, 2] >= x0) & (b[:, 1] <= y1) & (b[:, 3] >= y0)
        for i in np.array(loops)[here].tolist():
            if isinstance(op, Drill):
                gone.append(disc(piece, i, wanted.bore(work, i, piece)))
            elif (side := work.waste(piece.loops[i])) == "line":
                gone.append(along(polygons[i], op.cutter.radius))
            else:
                gone.append(band(polygons[i], side, op.cutter.cuts, op.allowance.side))
    return shapely.union_all(gone)
