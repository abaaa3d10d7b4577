"""When in the course of the programs what must go was first taken."""

from __future__ import annotations

import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.evidence import Cutting, Evidence
from kerfwright_plugins.checks.remains import remains
from kerfwright_plugins.checks.target import CLOSE, Must

__all__ = ["done", "first_taken", "walls_of"]

NEVER = np.inf


def walls_of(evidence: Evidence, must: Must) -> Floats:
    """Points (m, 2) along what an operation must reach, without those where a bridge stands or its ends are rounded."""
    if not len(must.wall):
        return np.zeros((0, 2))
    step = min(0.2, float(np.sqrt(8 * must.radius * 0.001)))
    points: Floats = shapely.get_coordinates(shapely.segmentize(must.wall, step))
    if must.held is None:
        return points
    reach = must.held.most(must.radius) / 2 + 2 * must.radius
    for one in evidence.shared(remains).standing:
        if one.must.piece == must.piece:
            points = points[np.hypot(*(points - one.at).T) > reach + one.length / 2]
    return points


def first_taken(cut: Cutting, points: Floats) -> Floats:
    """The move that first took each point (m,), inf where none did."""
    out = np.full(len(points), NEVER)
    if len(cut) and len(points):
        some = shapely.points(points)
        k, line = cut.tree.query(some, predicate="dwithin", distance=float(cut.radius.max()) + CLOSE)
        if len(cut.sizes) > 1:
            near = shapely.distance(some[k], cut.lines[line]) <= cut.radius[line] + CLOSE
            k, line = k[near], line[near]
        np.minimum.at(out, k, cut.first[line].astype(float))
    return out


def done(evidence: Evidence, must: Must) -> float:
    """The move with which all that an operation must take of an outline was taken; what is never taken is told elsewhere.
    -1 where nothing was.
    """
    level = must.floor + (0.01 if must.through else CLOSE)
    moves = first_taken(evidence.at(level), walls_of(evidence, must))
    moves = moves[np.isfinite(moves)]
    return float(moves.max()) if len(moves) else -1.0
