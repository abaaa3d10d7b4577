"""Reliefs that an operation declares: the one cut allowed beyond a wall. From the drawing and what was declared alone."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.drawing import Loop
from kerfwright.evidence import quads
from kerfwright.operation import Operation

__all__ = ["relieved"]

SLACK = np.radians(0.01)
"""How far an angle may lie beyond a declared limit and still count (rad)."""
TIE = 0.01
"""Edges that differ by less than this are equally long (mm)."""
STAND = 0.003
"""How much nearer than its radius the cutter may come to a wall (mm): chords and arcs recovered."""


def relieved(operation: Operation, loop: Loop, side: str, walls: Any) -> Any:
    """What the declared reliefs of one loop take in plan, (k,) polygons; none where nothing is declared.

    `side` is the loop's waste side, `walls` are polygons of all loops of the piece: where the cutter cannot stand before a
    corner there is no relief. In a corner between two straight edges the edge of the cutter reaches the tip, and no
    farther: along the bisector, or along the longer edge; of equally long ones along the one it comes by.
    """
    said: Any = getattr(operation, "corners", None)
    toward = getattr(said, "toward", None)
    if toward not in ("bisector", "longer") or side == "line":
        return np.zeros(0, object)
    radius, turn = operation.cutter.radius, 1.0 if side == "inside" else -1.0
    tips, before, after, lengths = _corners(loop)
    angle = np.pi - turn * ((after - before + np.pi) % (2 * np.pi) - np.pi)
    low, high = np.radians([float(said.sharpest), float(said.bluntest)])
    k = np.flatnonzero((angle > low - SLACK) & (angle < high + SLACK))
    tips, half = tips[k], angle[k] / 2
    bisector = after[k] + turn * half
    stand = tips + (radius / np.sin(half))[:, None] * _unit(bisector)
    if toward == "bisector":
        to = tips + radius * _unit(bisector)
    else:
        first = (operation.cutmode == "climb") == (side == "inside")  # which edge the cutter comes along
        mine, other = (lengths[0][k], lengths[1][k])[:: 1 if first else -1]
        along = (before[k], after[k])[:: 1 if first else -1]
        to = tips + radius * _unit(np.where(mine > other - TIE, *along) + turn * np.pi / 2)
    edges = shapely.union_all(shapely.get_exterior_ring(walls))
    stands = shapely.distance(shapely.points(stand), edges) > radius - STAND
    lines = shapely.linestrings(np.stack([stand, to], axis=1)[stands])
    return shapely.buffer(lines, radius, quad_segs=quads(radius))


def _unit(angle: Floats) -> Floats:
    return np.column_stack([np.cos(angle), np.sin(angle)])


def _corners(loop: Loop) -> tuple[Floats, Floats, Floats, tuple[Floats, Floats]]:
    """Corners between straight edges: tips (k, 2), directions (k,) of the edges before and after, lengths of both.

    Edges that go on in one line are one.
    """
    c = loop.curve
    straight = np.abs(c.turns) < 1e-12
    before, after = np.roll(c.directions[:, 1], 1), c.directions[:, 0]
    bend = (after - before + np.pi) % (2 * np.pi) - np.pi
    both = straight & np.roll(straight, 1)
    node = np.flatnonzero(~both | (np.abs(bend) > 1e-6))
    length = np.diff(np.append(c.s[node], c.s[node[:1]] + c.length))
    k = np.flatnonzero(both[node])
    return c.nodes[node[k], :2], before[node[k]], after[node[k]], (np.roll(length, 1)[k], length[k])
