"""Bridges across a pocket: what the ways that clear it leave beside them, and whether the cutter goes around their ends."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools, Floats
from kerfwright.curve import SAME, Curve
from kerfwright.offset import offset
from kerfwright.planning.held import Held
from kerfwright.sweep import flat_runs, strands

__all__ = ["Around", "passed", "sides", "with_sides"]

BESIDE = 0.005
"""How far (mm) a way along a bridge keeps from touching it."""
ON = 0.01
"""How near (mm) to a way a side begins that can be cut from there."""
SLIVER = 0.01
"""What is thinner than twice this (mm) does not count as left."""


@define(frozen=True, eq=False)
class Around:
    """The center region of a pocket around what bridges hold, the ways that clear it, the cutter's radius and the floor."""

    region: shapely.Polygon
    curves: tuple[Curve, ...]
    radius: float
    bottom: float


def sides(around: Around, held: Held) -> list[Curve]:
    """Ways along those sides of bridges beside which the clearing ways, raised over them, leave more than a bridge.

    Open, in the region, the bridge on the right.
    """
    r = around.radius
    half = _half(around, held)
    far = shapely.difference(around.region, shapely.union_all(_strips(held, half + r)))
    gone = _swept(around.curves, held, half, r)
    out: list[Curve] = []
    for k, strip in enumerate(_strips(held, half + 2 * r)):
        left = shapely.difference(shapely.intersection(strip, offset(far, r, 0.002)), gone)
        if shapely.is_empty(shapely.buffer(left, -SLIVER, quad_segs=2)):
            continue
        a, b = held.wall[k], held.wall[k] + held.far[k] * held.out[k]
        aside = np.array([-held.out[k, 1], held.out[k, 0]]) * (half[k] + r + BESIDE)
        for line in ((a + aside, b + aside), (b - aside, a - aside)):
            inside = shapely.intersection(shapely.LineString(line), far)
            some = [shapely.get_coordinates(g) for g in shapely.get_parts(inside) if shapely.length(g) > SLIVER]
            out += [Curve.line(p[[0, -1]]) for p in some]
    return out


def with_sides(around: Around, held: Held) -> list[Curve]:
    """The clearing ways, with the sides of bridges cut from them: out along the bridge and back, from where the lap of the
    wall passes it. A side that no way passes is a way of its own.
    """
    curves = list(around.curves)
    for side in sides(around, held):
        lines = np.array([c.path(0.0005) for c in curves], object)
        ends = shapely.points([side.start[:2], side.end[:2]])
        away = shapely.distance(lines[:, None], ends[None])
        k, end = np.unravel_index(int(np.argmin(np.round(away, 6))), away.shape)
        if away[k, end] > ON:
            curves.append(side)
            continue
        curve, way = curves[k], side if end == 0 else side.reversed()
        s = float(shapely.line_locate_point(lines[k], ends[end])) * curve.length / float(shapely.length(lines[k]))
        curves[k] = _spliced(curve, min(max(s, 0.0), curve.length), way.nodes[:, :2])
    return curves


def _spliced(curve: Curve, s: float, points: Floats) -> Curve:
    """The curve that leaves itself at length s for points (k, 2), straight, and comes back the same way."""
    parts = [curve.between(a, b) for a, b in ((0.0, s), (s, curve.length)) if b - a > SAME]
    here = curve.at(s)[0][0, :2] if SAME < s < curve.length - SAME else (curve.start if s <= SAME else curve.end)[:2]
    out = Curve.line(np.vstack([here, points, points[-2::-1], here]))
    return Curve.join([*parts[:1], out, *parts[1:]] if s > SAME else [out, *parts])


def passed(around: Around, held: Held) -> Bools:
    """Which of the bridges (m,) the ways go around at both ends.

    Along any wall at most as much may stay as two bridges side by side take, with the cutter's width beside each.
    """
    r = around.radius
    half = _half(around, held)
    walls = shapely.boundary(offset(around.region, r, 0.002))
    gone = _swept((*around.curves, *sides(around, held)), held, half, r)
    out = np.ones(len(held), bool)
    for k, strip in enumerate(_strips(held, half)):
        near = shapely.intersection(walls, shapely.buffer(strip, 8 * r))
        stays = shapely.difference(near, shapely.buffer(gone, 0.01, quad_segs=2))
        most = 4 * (half[k] + r)
        out[k] = all(shapely.length(g) <= most for g in _runs(stays) if shapely.dwithin(g, strip, 2 * r))
    return out


def _half(around: Around, held: Held) -> Floats:
    """Half of the width (m,) that bridges have at the floor, with their flanks."""
    out: Floats = held.half + np.maximum(held.z - around.bottom, 0.0) / held.slope
    return out


def _swept(curves: Sequence[Curve], held: Held, half: Floats, radius: float) -> shapely.Geometry:
    """What ways take at the floor, raised where the cutter touches a bridge."""
    lines = strands(*flat_runs(curves, 0.002))[0]
    strips = shapely.union_all(shapely.buffer(_strips(held, half), radius, quad_segs=32))
    return shapely.union_all(shapely.buffer(shapely.difference(lines, strips), radius, quad_segs=32))


def _strips(held: Held, half: Floats) -> Any:
    """Rectangles (m,) from the wall to the far end of each bridge, so wide on both sides."""
    side = np.column_stack([-held.out[:, 1], held.out[:, 0]]) * half[:, None]
    end = held.wall + held.far[:, None] * held.out
    return shapely.polygons(np.stack([held.wall - side, end - side, end + side, held.wall + side], axis=1))


def _runs(lines: shapely.Geometry) -> Sequence[shapely.LineString]:
    """Unbroken stretches."""
    some = [g for g in shapely.get_parts(lines) if shapely.get_type_id(g) == 1]
    return list(shapely.get_parts(shapely.line_merge(shapely.multilinestrings(some)))) if some else []
