"""Curve: a run of lines and arcs in space. One formula places a point on line, arc and helix (turn 0 is the limit)."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats, Ints

__all__ = ["EMPTY", "SAME", "Curve"]

SAME = 1e-7
"""Two points closer than this (mm) are one."""


def _sub(chords: Floats, turns: Floats, f: Floats) -> Floats:
    """XY offset from a segment's start after fraction `f` of it: the chord rotated by (f-1)t/2, scaled sin(ft/2)/sin(t/2)."""
    flat = np.abs(turns) < 1e-12
    ratio = np.where(flat, f, np.sin(f * turns / 2) / np.where(flat, 1.0, np.sin(turns / 2)))
    angle = (f - 1) * turns / 2
    c, s = np.cos(angle) * ratio, np.sin(angle) * ratio
    return np.stack([c * chords[:, 0] - s * chords[:, 1], s * chords[:, 0] + c * chords[:, 1]], axis=1)


@define(frozen=True, eq=False, slots=False)
class Curve:
    """Nodes `(n+1, 3)` in mm and turns `(n,)`: the signed included angle of each segment, 0 a line, positive
    counter-clockwise (seen from above). Z runs linearly along a segment. `s` is the length in XY: a plunge has none.
    A full circle is two arcs.

    >>> round(Curve.circle(0, 0, 10).length, 4)
    62.8319
    """

    nodes: Floats
    turns: Floats

    @classmethod
    def line(cls, points: Any) -> Curve:
        """Straight segments through points `(n, 2)` or `(n, 3)`."""
        p = np.asarray(points, float)
        if p.shape[1] == 2:
            p = np.column_stack([p, np.zeros(len(p))])
        return cls(p, np.zeros(len(p) - 1))

    @classmethod
    def circle(cls, x: float, y: float, radius: float, *, start: float = 0.0, turn: float = 2 * math.pi) -> Curve:
        """A full circle from angle `start` (rad), counter-clockwise for a positive `turn`."""
        a = start + np.array([0.0, 0.5, 1.0]) * turn
        p = np.column_stack([x + radius * np.cos(a), y + radius * np.sin(a), 0 * a])
        if abs(turn) == 2 * math.pi:
            p[2] = p[0]
        return cls(p, np.full(2, turn / 2))

    @classmethod
    def join(cls, curves: Iterable[Curve]) -> Curve:
        """One curve of several whose ends meet; empty ones are skipped. Raises ValueError where ends lie apart."""
        some = [c for c in curves if len(c)]
        if not some:
            return EMPTY
        for a, b in zip(some, some[1:], strict=False):
            if np.abs(a.nodes[-1] - b.nodes[0]).max() > 1e-5:
                raise ValueError(f"ends do not meet: {a.nodes[-1]} {b.nodes[0]}")
        nodes = np.vstack([some[0].nodes, *[c.nodes[1:] for c in some[1:]]])
        return cls(nodes, np.concatenate([c.turns for c in some]))

    def __len__(self) -> int:
        return len(self.turns)

    @property
    def start(self) -> Floats:
        """First node, (3,)."""
        first: Floats = self.nodes[0]
        return first

    @property
    def end(self) -> Floats:
        """Last node, (3,)."""
        last: Floats = self.nodes[-1]
        return last

    @cached_property
    def closed(self) -> bool:
        """Ends where it starts, in XY."""
        return len(self) > 0 and bool(np.abs(self.nodes[0, :2] - self.nodes[-1, :2]).max() < 1e-6)

    @cached_property
    def chords(self) -> Floats:
        """XY from start to end of each segment, (n, 2)."""
        return np.diff(self.nodes[:, :2], axis=0)

    @cached_property
    def radii(self) -> Floats:
        """Radius of each segment, inf for a line, (n,)."""
        half = np.abs(np.sin(self.turns / 2))
        with np.errstate(divide="ignore", invalid="ignore"):
            r = np.hypot(*self.chords.T) / (2 * half)
        return np.where(np.abs(self.turns) < 1e-12, np.inf, r)

    @cached_property
    def centers(self) -> Floats:
        """Center of each arc, nan for a line, (n, 2)."""
        with np.errstate(divide="ignore", invalid="ignore"):
            t = 1 / np.tan(self.turns / 2)
            ch = self.chords
            c = self.nodes[:-1, :2] + np.stack([ch[:, 0] - ch[:, 1] * t, ch[:, 1] + ch[:, 0] * t], 1) / 2
        return np.where(np.abs(self.turns)[:, None] < 1e-12, np.nan, c)

    @cached_property
    def lengths(self) -> Floats:
        """XY length of each segment, (n,)."""
        h = np.abs(self.turns) / 2
        straight = h < 1e-12
        stretch: Floats = np.where(straight, 1.0, h / np.where(straight, 1.0, np.sin(h)))
        return np.hypot(self.chords[:, 0], self.chords[:, 1]) * stretch

    @cached_property
    def s(self) -> Floats:
        """XY length up to each node, (n+1,)."""
        return np.concatenate([[0.0], np.cumsum(self.lengths)])

    @cached_property
    def length(self) -> float:
        """XY length of the whole."""
        return float(self.lengths.sum())

    @cached_property
    def lengths_3d(self) -> Floats:
        """Length of each segment in space, (n,)."""
        return np.hypot(self.lengths, np.diff(self.nodes[:, 2]))

    @cached_property
    def directions(self) -> Floats:
        """Angles of travel at start and end of each segment, (n, 2), rad."""
        a = np.arctan2(self.chords[:, 1], self.chords[:, 0])
        return np.stack([a - self.turns / 2, a + self.turns / 2], axis=1)

    @cached_property
    def signed_area(self) -> float:
        """Area enclosed by a closed curve, exact for arcs; negative for a clockwise one."""
        x, y = self.nodes[:, 0], self.nodes[:, 1]
        straight = float(x[:-1] @ y[1:] - x[1:] @ y[:-1]) / 2
        arc = np.abs(self.turns) > 1e-12
        r, t = self.radii[arc], self.turns[arc]
        return straight + float((r * r * (t - np.sin(t))).sum()) / 2

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Exact XY extent (x0, y0, x1, y1), bulges of arcs included."""
        pts = [self.nodes[:, :2]]
        arc = np.flatnonzero(np.abs(self.turns) > 1e-12)
        if len(arc):
            a0, t = self.directions[arc, 0] - np.sign(self.turns[arc]) * np.pi / 2, self.turns[arc]
            for quarter in range(4):
                want = quarter * np.pi / 2
                ahead = np.where(t > 0, (want - a0) % (2 * np.pi), -((a0 - want) % (2 * np.pi)))
                on = np.abs(ahead) < np.abs(t)
                way = np.array([math.cos(want), math.sin(want)])
                pts.append(self.centers[arc[on]] + self.radii[arc[on], None] * way)
        p = np.vstack(pts)
        return float(p[:, 0].min()), float(p[:, 1].min()), float(p[:, 0].max()), float(p[:, 1].max())

    def _where(self, s: Floats) -> tuple[Ints, Floats]:
        k = np.clip(np.searchsorted(self.s, s, side="right") - 1, 0, len(self) - 1)
        long = self.lengths[k]
        return k, np.clip((s - self.s[k]) / np.where(long > 0, long, 1.0), 0, 1)

    def _points(self, k: Ints, f: Floats) -> Floats:
        p = self.nodes[k].copy()
        p[:, :2] += _sub(self.chords[k], self.turns[k], f)
        p[:, 2] += f * np.diff(self.nodes[:, 2])[k]
        return p

    def at(self, s: Any) -> tuple[Floats, Floats]:
        """Points (k, 3) and directions (k,) (rad) at lengths `s`."""
        k, f = self._where(np.atleast_1d(np.asarray(s, float)))
        return self._points(k, f), self.directions[k, 0] + f * self.turns[k]

    def split(self, s: Any) -> tuple[Curve, Ints]:
        """The same curve with nodes at lengths `s` too; and for each new segment the old one it comes from."""
        k, f = self._where(np.asarray(s, float))
        keep = (f > 1e-9) & (f < 1 - 1e-9)
        n = len(self)
        k, f = np.concatenate([k[keep], np.arange(n)]), np.concatenate([f[keep], np.ones(n)])
        order = np.lexsort((f, k))
        k, f = k[order], f[order]
        fresh = np.concatenate([[True], (np.diff(k) > 0) | (np.diff(f) > 1e-9)])
        k, f = k[fresh], f[fresh]
        p = self._points(k, f)
        whole = f == 1
        p[whole] = self.nodes[k[whole] + 1]
        before = np.where(np.concatenate([[True], np.diff(k) > 0]), 0.0, np.concatenate([[0], f[:-1]]))
        return Curve(np.vstack([self.nodes[:1], p]), self.turns[k] * (f - before)), k

    def between(self, a: float, b: float) -> Curve:
        """The piece from length `a` to length `b`."""
        c, _ = self.split([a, b])
        i, j = np.searchsorted(c.s, a - SAME), np.searchsorted(c.s, b + SAME, side="right") - 1
        return Curve(c.nodes[i : j + 1], c.turns[i:j])

    def turned_to(self, s: float) -> Curve:
        """A closed planar curve that starts at length `s`."""
        return self.begun_at(s)[0]

    def begun_at(self, s: float) -> tuple[Curve, Ints]:
        """A closed planar curve that starts at length `s`; and for each new segment the old one it comes from."""
        s = s % self.length
        if s < SAME or self.length - s < SAME:
            return self, np.arange(len(self))
        c, old = self.split([s])
        k = int(np.argmin(np.abs(c.s - s)))
        return Curve(np.vstack([c.nodes[k:], c.nodes[1 : k + 1]]), np.roll(c.turns, -k)), np.roll(old, -k)

    def moved(self, dx: float, dy: float, dz: float = 0.0) -> Curve:
        """Shifted; what is already known of the shape is kept."""
        c = Curve(self.nodes + [dx, dy, dz], self.turns)
        kept = ("chords", "radii", "lengths", "s", "length", "directions", "closed", "signed_area", "lengths_3d")
        c.__dict__.update({k: self.__dict__[k] for k in kept if k in self.__dict__})
        return c

    def rotated(self, degrees: float) -> Curve:
        """Turned about the origin, counter-clockwise; exact for quarter turns."""
        quarter, rest = divmod(degrees % 360, 90)
        exact, quarter = rest == 0, quarter % 4  # a hair below 0 is 360 after the first remainder
        c = (1.0, 0.0, -1.0, 0.0)[int(quarter)] if exact else math.cos(math.radians(degrees))
        s = (0.0, 1.0, 0.0, -1.0)[int(quarter)] if exact else math.sin(math.radians(degrees))
        nodes = self.nodes.copy()
        nodes[:, 0], nodes[:, 1] = (
            c * self.nodes[:, 0] - s * self.nodes[:, 1],
            s * self.nodes[:, 0] + c * self.nodes[:, 1],
        )
        return Curve(nodes, self.turns)

    def reversed(self) -> Curve:
        """The same line travelled the other way."""
        return Curve(self.nodes[::-1], -self.turns[::-1])

    def mirrored(self) -> Curve:
        """Seen in a mirror: X changes sign."""
        return Curve(self.nodes * [-1.0, 1.0, 1.0], -self.turns)

    def at_z(self, z0: float, z1: float | None = None) -> Curve:
        """Same plan; Z constant at `z0`, or running linearly in length from `z0` to `z1`."""
        nodes = self.nodes.copy()
        nodes[:, 2] = z0 if z1 is None else z0 + (z1 - z0) * self.s / max(self.length, SAME)
        return Curve(nodes, self.turns)

    def flat(self, tolerance: float = 0.001) -> tuple[Floats, Ints]:
        """Chords within `tolerance`: points (m, 3), and the segment of each but the first."""
        r = np.where(np.isinf(self.radii), 1.0, self.radii)
        step = 2 * np.arccos(np.clip(1 - tolerance / np.maximum(r, tolerance), -1, 1))
        n = np.where(np.abs(self.turns) < 1e-12, 1, np.ceil(np.abs(self.turns) / np.maximum(step, 1e-6) - 1e-9))
        count = np.maximum(n, 1).astype(np.int64)
        k = np.repeat(np.arange(len(self)), count)
        f = (np.arange(len(k)) - np.repeat(np.cumsum(count) - count, count) + 1) / count[k]
        return np.vstack([self.nodes[:1], self._points(k, f)]), k

    def path(self, tolerance: float = 0.001) -> shapely.LineString:
        """Its plan as a shapely line."""
        return shapely.linestrings(self.flat(tolerance)[0][:, :2])

    def paths(self, tolerance: float = 0.001) -> Any:
        """The plan of each segment as a shapely line, (n,)."""
        if not len(self):
            return np.zeros(0, object)
        p, k = self.flat(tolerance)
        count = np.bincount(k, minlength=len(self))
        points = np.insert(p[1:, :2], np.cumsum(count) - count, self.nodes[:-1, :2], axis=0)
        return shapely.linestrings(points, indices=np.repeat(np.arange(len(self)), count + 1))

    def polygon(self, tolerance: float = 0.0005) -> shapely.Polygon:
        """The area inside a closed curve as a shapely polygon, chords within `tolerance`."""
        p = self.flat(tolerance)[0][:, :2].copy()
        p[-1] = p[0]
        return shapely.polygons(p)


EMPTY = Curve(np.zeros((1, 3)), np.zeros(0))
"""No way at all."""
