"""DXF entities as curves, seen through any transform. Coordinates and bulges as in the DXF reference, group by group."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

import numpy as np
from ezdxf.math import OCS

from kerfwright.arrays import Floats
from kerfwright.curve import SAME, Curve
from kerfwright.outlines.bends import FLATNESS, MANY, ellipse

__all__ = ["CURVES", "NoOutline", "Slanted", "curves", "matrix_of", "through"]

LEVEL = 1e-6
"""Heights (mm) that differ by less are one."""


class Slanted(ValueError):
    """An entity does not lie flat in a plane parallel to XY."""


class NoOutline(Exception):
    """An entity of this kind can be an outline, but this one is not: a mesh."""


def matrix_of(m: Any) -> Floats:
    """An ezdxf Matrix44 as (4, 4); points are rows and come first."""
    return np.array(list(m.rows()), float)


def _plane(entity: Any, m: Floats) -> Floats:
    """From the entity's own coordinate system (its extrusion direction is Z), then through `m`."""
    extrusion = entity.dxf.get("extrusion", (0, 0, 1))
    return matrix_of(OCS(extrusion).matrix) @ m if tuple(extrusion) != (0, 0, 1) else m


def through(points: Any, m: Floats) -> Floats:
    """Points (n, 3) through a matrix."""
    p = np.asarray(points, float).reshape(-1, 3)
    out: Floats = p @ m[:3, :3] + m[3, :3]
    return out


def _round(m: Floats, center: Any, u: Any, v: Any, start: float, sweep: float) -> Curve:
    c = through([center], m)[0]
    a, b = np.array([u, v], float) @ m[:3, :3]
    if max(abs(a[2]), abs(b[2])) > LEVEL:
        raise Slanted
    return ellipse(c[:2], a[:2], b[:2], start, sweep).at_z(float(c[2]))


def _line(e: Any, m: Floats) -> list[Curve]:
    return [Curve.line(through([e.dxf.start.xyz, e.dxf.end.xyz], m))]


def _arc(e: Any, m: Floats) -> list[Curve]:
    r = float(e.dxf.radius)
    if not r > 0:
        raise ValueError(f"found radius {r:g}, allowed: above 0")
    start, sweep = 0.0, 2 * math.pi
    if e.dxftype() == "ARC":
        start = math.radians(e.dxf.start_angle)
        sweep = math.radians((e.dxf.end_angle - e.dxf.start_angle) % 360) or 2 * math.pi
    return [_round(_plane(e, m), e.dxf.center.xyz, (r, 0, 0), (0, r, 0), start, sweep)]


def _ellipse(e: Any, m: Floats) -> list[Curve]:
    major = np.array(e.dxf.major_axis.xyz)
    up = np.array(e.dxf.get("extrusion", (0, 0, 1)), float)
    minor = np.cross(up / np.linalg.norm(up), major) * float(e.dxf.ratio)
    start = float(e.dxf.start_param)
    sweep = (float(e.dxf.end_param) - start) % (2 * math.pi)
    if min(sweep, 2 * math.pi - sweep) < 1e-9:
        sweep = 2 * math.pi
    return [_round(m, e.dxf.center.xyz, major, minor, start, sweep)]


def _spline(e: Any, m: Floats) -> list[Curve]:
    """Chords: each stretch between knots is halved until no middle lies off its chord by more than half of what may be."""
    b = e.construction_tool()
    knots = np.array(b.knots(), float)
    knots = np.unique(knots[b.order - 1 : b.count + 1])
    if len(knots) < 2:
        raise ValueError("a spline has no length between its knots")
    parts = [_spans(b.points, m, a, z) for a, z in zip(knots[:-1], knots[1:], strict=True)]
    points = np.vstack([parts[0][:1], *[p[1:] for p in parts]])
    if e.closed and 0 < np.hypot(*(points[0] - points[-1])[:2]) < SAME:
        points[-1] = points[0]
    return [Curve.line(points)]


def _spans(points: Callable[[Iterable[float]], Iterable[Any]], m: Floats, a: float, z: float) -> Floats:
    n = 4
    while n <= MANY:
        t = np.linspace(a, z, 2 * n + 1)
        p = through([v.xyz for v in points(t.tolist())], m)
        off = p[1::2] - (p[:-1:2] + p[2::2]) / 2
        if not np.isfinite(p).all():
            raise ValueError("a coordinate is not a finite number")
        if np.hypot(*off[:, :2].T).max() <= FLATNESS / 2:
            return p[::2]
        n *= 2
    raise ValueError(f"a spline would need more than {MANY} chords of {FLATNESS} mm: is its unit right?")


def _bulged(points: Floats, bulges: Floats, closed: bool, m: Floats) -> list[Curve]:
    """Corners (n, 3) with bulges, the tangent of a quarter of the included angle, positive counter-clockwise."""
    if closed and len(points) > 1:
        points = np.vstack([points, points[:1]])
    else:
        bulges = bulges[:-1]
    if len(points) < 2:
        return []
    keep = np.hypot(*np.diff(points[:, :2], axis=0).T) > 0
    points, turns = np.vstack([points[:-1][keep], points[-1:]]), 4 * np.arctan(bulges[keep])
    if not len(turns):
        return []
    plane = m[:2, :2]
    great, small = np.linalg.svd(plane, compute_uv=False)
    bent = bool((turns != 0).any())
    if bent and np.abs(m[:2, 2]).max() * np.ptp(points[:, :2]) > LEVEL:
        raise Slanted
    if not bent or great - small <= 1e-9 * great:
        return [Curve(through(points, m), turns * math.copysign(1.0, float(np.linalg.det(plane))))]
    own = Curve(points, turns)
    parts = []
    for k in range(len(own)):
        ends = through(own.nodes[k : k + 2], m)
        if turns[k] == 0:
            parts.append(Curve.line(ends))
            continue
        (x, y), r = own.centers[k], float(own.radii[k])
        start = math.atan2(own.nodes[k, 1] - y, own.nodes[k, 0] - x)
        c = _round(m, (x, y, own.nodes[k, 2]), (r, 0, 0), (0, r, 0), start, float(turns[k]))
        nodes = c.nodes.copy()
        nodes[[0, -1]] = ends
        parts.append(Curve(nodes, c.turns))
    return [Curve.join(parts)]


def _lwpolyline(e: Any, m: Floats) -> list[Curve]:
    rows = np.array(e.get_points("xyb"), float).reshape(-1, 3)
    points = np.column_stack([rows[:, :2], np.full(len(rows), float(e.dxf.elevation))])
    return _bulged(points, rows[:, 2], bool(e.closed), _plane(e, m))


def _polyline(e: Any, m: Floats) -> list[Curve]:
    if not (e.is_2d_polyline or e.is_3d_polyline):
        raise NoOutline
    shown = [v for v in e.vertices if not v.dxf.flags & 16]  # 16: a control point of a fitted curve, not on it
    points = np.array([v.dxf.location.xyz for v in shown], float).reshape(-1, 3)
    if not e.is_2d_polyline:
        return _bulged(points, np.zeros(len(points)), bool(e.is_closed), m)
    points[:, 2] = e.dxf.elevation.z if e.dxf.hasattr("elevation") else 0.0
    return _bulged(points, np.array([v.dxf.get("bulge", 0.0) for v in shown], float), bool(e.is_closed), _plane(e, m))


CURVES: Mapping[str, Callable[[Any, Floats], list[Curve]]] = MappingProxyType(
    {
        "LINE": _line, "ARC": _arc, "CIRCLE": _arc, "ELLIPSE": _ellipse, "SPLINE": _spline,
        "LWPOLYLINE": _lwpolyline, "POLYLINE": _polyline,
    }
)  # fmt: skip
"""Entities that are outlines."""


def curves(entity: Any, m: Floats) -> list[Curve]:
    """Curves of an entity through `m` (4, 4), each at its height. Raises Slanted where one is not level; NoOutline for a
    mesh; ValueError for values that make no curve."""
    found = CURVES[entity.dxftype()](entity, m)
    for c in found:
        if not np.isfinite(c.nodes).all():
            raise ValueError("a coordinate is not a finite number")
        if np.ptp(c.nodes[:, 2]) > LEVEL:
            raise Slanted
    return found
