"""Reliefs of corners: only where the drawing has that corner, and never through to another wall; spliced into a cut after
slot and cover, which would have to leave the room for them.
"""

from __future__ import annotations

import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.planning.context import Context
from kerfwright.planning.faults import refused
from kerfwright.strategy import Corners

__all__ = ["reliefs", "spliced"]

CLOSE = 0.003
"""How near (mm) the cutter's edge comes to the tip of a corner: more is none of this corner's reliefs."""


def reliefs(context: Context, way: Curve, row: int) -> Floats:
    """Rows (x, y, to_x, to_y) for a way along a wall (climb frame) of the piece that has the loop in this row.

    Left out where no corner of the piece lies at the cutter's edge: it is rounded or cut off there, and needs none.
    Raises InputError where a relief would break through to another wall.
    """
    rows = context.of(Corners)(way, context.radius)
    if len(rows) and context.operation.allowance.side:
        raise refused(
            context.setup,
            context.work,
            f"{context.nest.label(row)}: a relief belongs to the finished wall, and this operation leaves "
            f"{context.operation.allowance.side:g} mm at the side; allowed: `corners` on the operation that finishes it",
            "corners",
        )
    nest = context.nest
    mine = np.flatnonzero(nest.pieces == nest.pieces[row])
    if not len(rows) or not len(mine):
        return rows
    tips, of = shapely.get_coordinates(nest.areas[mine], return_index=True)
    lines = shapely.linestrings(rows.reshape(-1, 2, 2) * context.sign)
    (k, tip), away = shapely.STRtree(shapely.points(tips)).query_nearest(
        shapely.points(rows[:, 2:] * context.sign), return_distance=True, all_matches=False
    )
    there = np.abs(away - context.radius) < CLOSE
    for i, corner in zip(k[there].tolist(), tip[there].tolist()):
        _contained(context, lines[i], tips[corner], int(mine[of[corner]]))
    kept: Floats = rows[k[there]]
    return kept


def _contained(context: Context, line: shapely.LineString, tip: Floats, row: int) -> None:
    nest, radius = context.nest, context.radius
    x0, y0, x1, y1 = shapely.bounds(line)
    box = shapely.bounds(nest.areas) + radius * np.array([-1, -1, 1, 1])
    near = np.flatnonzero((box[:, 0] < x1) & (box[:, 1] < y1) & (box[:, 2] > x0) & (box[:, 3] > y0))
    hit = [k for k in near.tolist() if k != row and nest.areas[k].exterior.distance(line) < radius - CLOSE]
    own = shapely.line_merge(
        shapely.intersection(nest.areas[row].exterior, shapely.buffer(line, radius - CLOSE, quad_segs=16))
    )
    parts = shapely.get_parts(own)
    if not hit and (shapely.distance(parts, shapely.Point(tip)) < 2 * CLOSE + 0.01 * radius).all():
        return
    what = nest.label(hit[0]) if hit else "the other side of the same outline"
    raise refused(
        context.setup,
        context.work,
        f"{nest.label(row)}: the relief of its corner at ({tip[0]:.3f}, {tip[1]:.3f}) would break through to {what}; "
        "allowed: a smaller cutter, or `corners: none`",
        "corners",
    )


def spliced(cut: Curve, rows: Floats) -> Curve:
    """Straight out from nodes of the cut and back, rows (x, y, to_x, to_y). A relief at no node of this cut is not its own."""
    for x, y, to_x, to_y in rows:
        away = np.hypot(*(cut.nodes[:-1, :2] - [x, y]).T)
        k = int(np.argmin(away))
        if away[k] < 1e-5:
            nodes = np.insert(cut.nodes, [k + 1, k + 1], [[to_x, to_y, 0.0], cut.nodes[k]], axis=0)
            cut = Curve(nodes, np.insert(cut.turns, [k, k], 0.0))
    return cut
