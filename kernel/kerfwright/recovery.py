"""True arcs from the vertices of rings. All rings of a call advance in lock-step: few numpy calls for any number of them.

Greedy: from each node the longest line or arc that keeps within the tolerance, found by galloping, then bisection.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.curve import Curve

__all__ = ["RECOVERED", "recover", "recover_lines"]

RECOVERED = 0.001
"""Greatest distance (mm) of a recovered curve from the ring it stands for."""
LONGEST = 1.05 * np.pi
"""Included angle of the longest arc made: a full circle is always two."""
LARGEST = 1e4
"""Radius (mm) from which a bend counts as straight."""


def recover(rings: Any, tolerance: float = RECOVERED) -> list[Curve]:
    """Closed planar Curves of shapely LinearRings, in their order and direction.

    No point of a curve lies further than `tolerance` (mm) from its ring, nor the other way: the vertices' distance from an
    arc and the arc's rise over each chord (sagitta) count together. A ring that is a circle becomes two half circles.
    The answer depends on the shape alone; where a curve starts follows from its longest edge.
    """
    if not len(rings):
        return []
    points, ring = _vertices(rings)
    first = np.flatnonzero(np.concatenate([[True], np.diff(ring) > 0]))
    last = np.concatenate([first[1:], [len(ring)]]) - 1
    points = _turned(points, ring, first, last)
    round_, centers, radii = _circles(points, ring, first, last, tolerance)
    node, turns = _segments(points, ring, first, last, round_, tolerance)
    out = []
    for k, (a, b) in enumerate(zip(first.tolist(), last.tolist(), strict=True)):
        if round_[k]:
            out.append(_circle(points[a : b + 1], centers[k], float(radii[k])))
            continue
        at = a + np.flatnonzero(node[a : b + 1])
        out.append(Curve(np.column_stack([points[at], np.zeros(len(at))]), turns[at[1:]]))
    return out


def recover_lines(lines: Any, tolerance: float = RECOVERED) -> list[Curve]:
    """Open planar Curves of shapely LineStrings, in their order and direction; they end where the lines do.

    As close to the lines as `recover` keeps to rings. Raises ValueError for a line of no length.

    >>> recover_lines([shapely.LineString([(0, 0), (1, 0), (2, 0), (2, 1)])])[0].nodes[:, :2].tolist()
    [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0]]
    """
    if not len(lines):
        return []
    points, line = shapely.get_coordinates(lines, return_index=True)
    keep = np.concatenate([[True], np.abs(np.diff(points, axis=0)).max(1) > 1e-6])
    keep |= np.concatenate([[True], np.diff(line) > 0])
    points, line = points[keep], line[keep]
    keep = ~_straight(points, line)
    points, line = points[keep], line[keep]
    first = np.flatnonzero(np.concatenate([[True], np.diff(line) > 0]))
    last = np.concatenate([first[1:], [len(line)]]) - 1
    if (first == last).any() or len(first) != len(lines):
        raise ValueError("a line of no length has no curve")
    node, turns = _segments(points, line, first, last, np.zeros(len(lines), bool), tolerance)
    out = []
    for a, b in zip(first.tolist(), last.tolist(), strict=True):
        at = a + np.flatnonzero(node[a : b + 1])
        out.append(Curve(np.column_stack([points[at], np.zeros(len(at))]), turns[at[1:]]))
    return out


def _vertices(rings: Any) -> tuple[Floats, Ints]:
    """Vertices (m, 2) and the ring of each, without repeated ones and those on straights; a ring ends where it begins."""
    points, ring = shapely.get_coordinates(rings, return_index=True)
    step = np.abs(np.diff(points, axis=0)).max(1)
    begins = np.concatenate([[True], np.diff(ring) > 0])
    keep = np.concatenate([[True], step > 1e-6]) | begins
    keep |= np.bincount(ring, weights=keep)[ring] < 4  # a ring as small as that stays as it is
    points, ring = points[keep], ring[keep]
    keep = ~_straight(points, ring)
    keep |= np.bincount(ring, weights=keep)[ring] < 4
    points, ring = points[keep], ring[keep]
    first = np.flatnonzero(np.concatenate([[True], np.diff(ring) > 0]))
    last = np.concatenate([first[1:], [len(ring)]]) - 1
    points[last] = points[first]
    return points, ring


def _straight(points: Floats, ring: Ints) -> Bools:
    """Vertices (m,) on the straight from the one before to the one after, the ends of rings not among them."""
    a, b = points[1:-1] - points[:-2], points[2:] - points[:-2]
    beside = np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
    ahead = (a * b).sum(1)
    long = (b * b).sum(1)
    out = np.zeros(len(points), bool)
    out[1:-1] = (beside < 1e-9 * np.sqrt(long)) & (ahead > 0) & (ahead < long) & (ring[2:] == ring[:-2])
    return out


def _turned(points: Floats, ring: Ints, first: Ints, last: Ints) -> Floats:
    """Every ring started at the end of its longest edge: never within an arc where the ring has a line at all."""
    edge = np.hypot(*np.diff(points, axis=0).T)
    same = ring[:-1] == ring[1:]
    # rounded, so that a moved copy starts at the same place
    order = np.lexsort((-np.where(same, np.round(edge, 6), -1.0), ring[:-1]))
    begin = np.concatenate([[0], np.flatnonzero(np.diff(ring[:-1][order])) + 1])
    shift = order[begin] + 1 - first
    n = np.maximum(last - first, 1)
    k = np.arange(len(ring)) - first[ring]
    turned: Floats = points[first[ring] + (k + shift[ring]) % n[ring]]
    return turned


def _circles(points: Floats, ring: Ints, first: Ints, last: Ints, tolerance: float) -> tuple[Bools, Floats, Floats]:
    """Which rings are full circles, with centers and radii (of all, for those that are not without meaning)."""
    low, high = np.minimum.reduceat(points, first), np.maximum.reduceat(points, first)
    count = last - first  # the vertex said twice counts once
    inner = np.arange(len(ring)) != last[ring]
    center = (low + high) / 2
    for _ in range(2):  # towards the least squares of all vertices
        r = np.hypot(*(points - center[ring]).T)
        radius = np.add.reduceat(r * inner, first) / np.maximum(count, 1)
        way = (points - center[ring]) / np.maximum(r, 1e-12)[:, None]
        pull = np.add.reduceat(way * (r - radius[ring])[:, None] * inner[:, None], first)
        center = center + 2 * pull / np.maximum(count, 1)[:, None]
    r = np.hypot(*(points - center[ring]).T)
    radius = np.add.reduceat(r * inner, first) / np.maximum(count, 1)
    edge = np.zeros(len(ring))
    edge[1:] = np.hypot(*np.diff(points, axis=0).T)
    edge[first] = 0
    stray = np.maximum.reduceat(np.abs(r - radius[ring]), first)
    sagitta = np.maximum.reduceat(edge, first) ** 2 / (8 * np.maximum(radius, 1e-9))
    around = np.add.reduceat(edge, first)
    once = np.abs(around - 2 * np.pi * radius) <= 0.02 * around
    return (count >= 8) & once & (stray + sagitta <= tolerance), center, radius


def _circle(points: Floats, center: Floats, radius: float) -> Curve:
    """Two half circles from the direction of the first vertex, turning as the ring does."""
    way = (points[0] - center) / np.hypot(*(points[0] - center))
    x, y = points[:-1].T - center[:, None]
    u, v = points[1:].T - center[:, None]
    turn = np.pi if (x * v - y * u).sum() > 0 else -np.pi
    p = np.zeros((3, 3))
    p[:, :2] = center + radius * way * np.array([[1.0], [-1.0], [1.0]])
    return Curve(p, np.full(2, turn))


def _segments(
    points: Floats, ring: Ints, first: Ints, last: Ints, skip: Bools, tolerance: float
) -> tuple[Bools, Floats]:
    """Which vertices become nodes (m,), and the turn (m,) of the segment that ends at each."""
    node, turns = np.zeros(len(ring), bool), np.zeros(len(ring))
    node[first] = True
    stop = _alone(points, ring, tolerance)
    stop[first] = stop[last] = True
    limit = np.flatnonzero(stop & ~skip[ring])
    i, j = limit[:-1], limit[1:]
    inside = ring[i] == ring[j]
    i, j = i[inside], j[inside]
    node[j[j - i == 1]] = True
    i, j = i[j - i > 1], j[j - i > 1]
    x, y = np.ascontiguousarray(points.T)
    while len(i):
        good, turn = _furthest(x, y, i, j, tolerance)
        node[good] = True
        turns[good] = turn
        on = good < j
        i, j = good[on], j[on]
    return node, turns


def _alone(points: Floats, ring: Ints, tolerance: float) -> Bools:
    """Vertices (m,) at the ends of edges too long to be the chord of any arc through a neighbour: lines by themselves."""
    d = np.diff(points, axis=0)
    edge = np.hypot(*d.T)
    edge[ring[:-1] != ring[1:]] = 0
    bend = np.abs(np.arctan2(d[:-1, 0] * d[1:, 1] - d[:-1, 1] * d[1:, 0], (d[:-1] * d[1:]).sum(1)))
    radius = (edge[:-1] + edge[1:]) / 2 / np.maximum(bend, 1e-9)
    rise = edge**2 / 8
    before = np.concatenate([[np.inf], rise[1:] / np.maximum(radius, 1e-12)])
    after = np.concatenate([rise[:-1] / np.maximum(radius, 1e-12), [np.inf]])
    long = np.minimum(before, after) > 3 * tolerance
    stop = np.zeros(len(points), bool)
    stop[:-1] |= long
    stop[1:] |= long
    return stop


def _furthest(x: Floats, y: Floats, i: Ints, j: Ints, tolerance: float) -> tuple[Ints, Floats]:
    """For each chain i..j the last vertex that one segment from i reaches, and that segment's turn."""
    good, bad = i + 1, j + 1  # the furthest known to fit, the nearest known not to
    turn, step = np.zeros(len(i)), np.full(len(i), 4)
    gallop, active = np.ones(len(i), bool), np.arange(len(i))
    while len(active):
        a = active
        to = np.where(gallop[a], np.minimum(good[a] + step[a], bad[a] - 1), (good[a] + bad[a]) // 2)
        ok, t = _fit(x, y, i[a], to, tolerance)
        good[a], bad[a] = np.where(ok, to, good[a]), np.where(ok, bad[a], to)
        turn[a] = np.where(ok, t, turn[a])
        gallop[a] &= ok
        step[a] *= 4
        active = a[bad[a] - good[a] > 1]
    return good, turn


def _fit(x: Floats, y: Floats, i: Ints, j: Ints, tolerance: float) -> tuple[Bools, Floats]:
    """Whether one line or arc stands for vertices i..j, for all candidates at once, and its turn (0 a line)."""
    # numbers of x and of y apart: there are few candidates at a time, and what takes time is the number of steps
    n, mid, m = j - i + 1, (i + j) // 2, len(i)
    ax, ay = x[i], y[i]
    ux, uy, vx, vy = x[mid] - ax, y[mid] - ay, x[j] - ax, y[j] - ay
    wx, wy = vx - ux, vy - uy
    chord = np.hypot(vx, vy)
    at = np.cumsum(n) - n
    own = np.repeat(np.arange(m), n)
    index = np.arange(len(own)) + (i - at)[own]
    px, py = x[index], y[index]
    qx, qy = px - ax[own], py - ay[own]
    edge = np.zeros(len(index))
    edge[:-1] = np.hypot(px[1:] - px[:-1], py[1:] - py[:-1])
    edge[at[1:] - 1] = 0
    # line: vertices beside the chord, none before its start or behind its end
    safe, along_x, along_y = np.maximum(chord, 1e-12)[own], vx[own], vy[own]
    beside = np.abs(qx * along_y - qy * along_x) / safe
    along = (qx * along_x + qy * along_y) / safe
    stray = np.maximum(beside, np.maximum(-along, along - chord[own]))
    line = (np.maximum.reduceat(stray, at) <= tolerance) & (chord > 1e-6)
    # arc: through first, middle and last vertex
    cross = ux * vy - uy * vx
    turn = 2 * np.arctan2(ux * wy - uy * wx, ux * wx + uy * wy)
    double = 2 * np.where(cross == 0, 1.0, cross)
    uu, vv = ux * ux + uy * uy, vx * vx + vy * vy
    cx, cy = (vy * uu - uy * vv) / double, (ux * vv - vx * uu) / double
    r = np.hypot(cx, cy)
    off = np.abs(np.hypot(qx - cx[own], qy - cy[own]) - r[own])
    sagitta = edge**2 / (8 * np.maximum(r, 1e-9))[own]
    far = np.zeros(len(off))
    far[:-1] = off[1:]
    far[at[1:] - 1] = 0  # no edge leads from one candidate to the next
    arc = (np.maximum.reduceat(np.maximum(off, far) + sagitta, at) <= tolerance) & (cross != 0)
    arc &= (np.abs(turn) <= LONGEST) & (r < LARGEST)
    # the edges are as long as the arc: rules out doubling back, and four corners that happen to lie on one circle
    around = np.add.reduceat(edge, at)
    arc &= np.abs(around - r * np.abs(turn)) <= 0.01 * around + tolerance
    return line | arc, np.where(line, 0.0, turn)
