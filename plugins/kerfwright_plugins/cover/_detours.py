"""What cuts far apart leave between them, taken by short detours of the cuts themselves: no entry of its own is needed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.curve import SAME, Curve
from kerfwright.offset import recover, rings_of
from kerfwright.sweep import unswept
from kerfwright_plugins.cover._rings import SLACK, rings

__all__ = ["detoured"]

ROUNDS = 3
"""A detour may leave a sliver where it turns: what is left is looked at again, this often."""


def detoured(region: shapely.Polygon, curves: Sequence[Curve], radius: float) -> list[Curve]:
    """The curves (in the center region, in cutting order) with detours to what a cutter of `radius` leaves of its reach.

    A cusp costs a straight way out and back, a longer rest a way around it. Each hangs on the first curve it can be
    reached from within the region, so it is cut while the material beyond still holds it. What no detour reaches is
    cleared by rings of its own before all else.
    """
    curves = list(curves)
    wide = shapely.buffer(region, 0.002, quad_segs=2)
    shapely.prepare(wide)
    for _ in range(ROUNDS):
        missed = unswept(region, curves, radius, SLACK)
        if not len(missed):
            return curves
        curves = _hung(curves, missed, wide, radius)
    missed = unswept(region, curves, radius, SLACK)
    if not len(missed):
        return curves
    near = shapely.intersection(region, shapely.union_all(shapely.buffer(missed, radius, quad_segs=8)))
    areas = [g for g in shapely.get_parts(near) if shapely.area(g) > 0]
    return [c for g in areas for c in recover(rings_of(rings(g, radius, radius)[0]))] + curves


def _hung(curves: list[Curve], missed: Any, wide: shapely.Geometry, radius: float) -> list[Curve]:
    """Each rest's detour on the first curve from which its way stays in the region."""
    lines = np.array([c.path(0.002) for c in curves], object)
    rest, near = shapely.STRtree(lines).query(missed, predicate="dwithin", distance=2 * radius)
    order = np.lexsort((near, rest))
    detours: dict[int, list[tuple[float, Floats]]] = defaultdict(list)
    done = -1
    for k, n in zip(rest[order].tolist(), near[order].tolist(), strict=True):
        if k == done:
            continue
        way = _way(missed[k], lines[n], radius)
        if shapely.covers(wide, shapely.LineString(way)):
            done = k
            s = float(shapely.line_locate_point(lines[n], shapely.Point(way[0])))
            detours[n].append((s * curves[n].length / lines[n].length, way[1:]))
    return [_spliced(c, detours[n]) if n in detours else c for n, c in enumerate(curves)]


def _way(rest: shapely.Polygon, line: shapely.LineString, radius: float) -> Floats:
    """From a point of the line to where a cutter of `radius` takes a rest: one point, or around a long one."""
    middle = shapely.centroid(shapely.minimum_bounding_circle(rest))
    half, reach = float(shapely.minimum_bounding_radius(rest)), radius - 3 * SLACK
    if half < reach:
        a, b = shapely.get_coordinates(shapely.shortest_line(line, middle))
        far = float(np.hypot(*(b - a)))
        return np.array([a, b + (a - b) * min(1.0, (reach - half) / max(far, SAME))])
    outline = shapely.get_coordinates(shapely.simplify(rest.exterior, radius / 8))[:-1]
    a, b = shapely.get_coordinates(shapely.shortest_line(line, shapely.multipoints(outline)))
    k = int(np.argmin(np.hypot(*(outline - b).T)))
    return np.vstack([a, np.roll(outline, -k, axis=0), outline[k]])


def _spliced(curve: Curve, detours: list[tuple[float, Floats]]) -> Curve:
    """The curve that leaves itself at lengths s for points (k, 2), straight, and comes back to where it left."""
    detours.sort(key=lambda one: one[0])
    out, done = [], 0.0
    for s, points in detours:
        at = min(max(s, 0.0), curve.length)
        if at - done > SAME:
            out.append(curve.between(done, at))
            done = at
        here = out[-1].end[:2] if out else curve.start[:2]
        out.append(Curve.line(np.vstack([here, points, here])))
    if curve.length - done > SAME:
        out.append(curve.between(done, curve.length))
    return Curve.join(out)
