"""How deep the cutter's side is in material along planar ways, from what earlier ways have taken; slower where that is more
than was planned.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve

__all__ = ["SLOWEST", "before_corners", "corner_depth", "edge_share", "shares"]

SLOWEST = 0.5
"""No cut is fed with less than this part of its feed for its engagement: a thinner chip rubs (from memory)."""
BEND = 0.35
"""A way that turns to the waste by more (rad) has a corner there."""
SURE = 1.05
"""What exceeds the planned depth by less is rounding."""
STEPS = 20
"""Parts of the feed are said in steps of a twentieth, rounded down, so that the text has few feeds."""
MANY = 2000
"""Places that are looked at together, for memory."""


def corner_depth(depth: float, bend: Floats, radius: float) -> Floats:
    """Radial depth (mm) of a straight cut with as much of the edge engaged as where a cut of radial depth `depth` turns
    into an inside corner by `bend` (rad): what lies ahead adds to what lies at the side.

    >>> corner_depth(0.8, np.array([0.0, np.pi / 2]), 1.0).round(3).tolist()
    [0.8, 1.98]
    """
    side = np.arccos(np.clip(1 - depth / radius, -1, 1))
    return np.asarray(radius * (1 - np.cos(np.minimum(side + bend, np.pi))))


def before_corners(curve: Curve, depth: float) -> Curve:
    """The same way with a node as far before each inside corner as the cutter meets what lies ahead: `depth` (mm)."""
    bends = _bends(curve)
    long = curve.lengths > 1.5 * depth
    at = curve.s[1:][(bends > BEND) & long] - depth
    return curve.split(at)[0] if len(at) else curve


def shares(curves: Sequence[Curve], radius: float, depth: float) -> list[Floats]:
    """Which part of the feed each segment of ways in cutting order may have, (n,) a way.

    `depth` is the radial depth (mm) that the feed is meant for. The depth along a way is its distance from where the center
    has been before, at most the cutter's diameter; what it has just passed does not count.
    """
    lengths = np.concatenate([c.lengths for c in curves])
    found = np.maximum(_depths(curves, lengths, radius), np.concatenate([_corners(c, radius, depth) for c in curves]))
    with np.errstate(divide="ignore"):
        part = np.where(found > SURE * depth, np.clip(depth / found, SLOWEST, 1.0), 1.0)
    part = np.floor(part * STEPS + 1e-9) / STEPS
    return list(np.split(part, np.cumsum([len(c) for c in curves])[:-1]))


def edge_share(curve: Curve, waste: Ints, radius: float) -> Floats:
    """Which part of the edge's feed the center may have, (n,): where it goes round inside of a wall, its edge goes further.

    On an arc of radius r it is r / (r + cutter's radius) where the wall lies outside (waste on the side of the arc's center).
    """
    inside = (waste * curve.turns > 0) & (np.abs(curve.turns) > 1e-9)
    r = np.where(inside, curve.radii, 1.0)
    return np.where(inside, r / (r + radius), 1.0)


def _bends(curve: Curve) -> Floats:
    """How far the way turns left at the end of each segment (rad), 0 at an open end."""
    a = curve.directions
    ahead = np.append(a[1:, 0], a[0, 0] if curve.closed else a[-1, 1])
    return np.asarray((ahead - a[:, 1] + np.pi) % (2 * np.pi) - np.pi)


def _corners(curve: Curve, radius: float, depth: float) -> Floats:
    """Depth (mm) on the short segments that lead into an inside corner, 0 on all others."""
    bends = _bends(curve)
    into = (bends > BEND) & (curve.lengths <= 1.5 * depth)
    return np.where(into, corner_depth(depth, np.maximum(bends, 0.0), radius), 0.0)


def _depths(curves: Sequence[Curve], lengths: Floats, radius: float) -> Floats:
    """Distance (m,) from the middle of each segment to where the center was earlier, at most the cutter's diameter."""
    lines = np.concatenate([np.zeros(0, object), *[c.paths(0.02) for c in curves]])
    end = np.cumsum(lengths)
    middle = shapely.line_interpolate_point(lines, 0.5, normalized=True)
    begin = end - lengths / 2 - 3 * radius
    out = np.full(len(lines), 2 * radius)
    tree = shapely.STRtree(lines)
    for a in range(0, len(lines), MANY):
        some = middle[a : a + MANY]
        i, j = tree.query(some, predicate="dwithin", distance=2 * radius)
        earlier = end[j] <= begin[a + i]
        i, j = i[earlier], j[earlier]
        np.minimum.at(out, a + i, shapely.distance(some[i], lines[j]))
    return out
