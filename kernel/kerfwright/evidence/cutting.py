"""What the cutter takes at one height: the ways of its center at or below it, as short open lines."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from attrs import define, frozen

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.evidence.course import CHORD, Course
from kerfwright.sweep import corners

__all__ = ["CHORD", "Cutting", "quads"]

STRAND = 16
"""Chords in one line: short lines keep trees sharp and distances cheap."""


MANY = 500_000
"""Chords that are made lines at a time."""


def quads(radius: float, tolerance: float = CHORD) -> int:
    """Chords in a quarter of a circle that keep within `tolerance` of it.

    >>> quads(10, 0.005)
    25
    """
    return max(2, math.ceil(math.pi / 4 / math.acos(max(0.0, 1 - tolerance / max(radius, tolerance))) - 1e-9))


@define(frozen=True, eq=False, slots=False)
class Cutting:
    """k open lines (never closed, and never over a corner: a buffer could leave a false hole, or drop the corner, see
    `sweep`), the cutter's radius along each, the first and last move of each, and the lowest Z of the full diameter.

    A slice through the sheet at `level` loses exactly the sweep of these lines: the cutter is a cylinder from its tip up, or
    a cone, whose radius there follows from how far its tip lies below `level`. Where it runs along a slope, each stretch
    counts with its largest radius: too much by 0.001 mm at most, never too little.
    """

    level: float
    lines: Any
    radius: Floats
    first: Ints
    last: Ints
    low: Floats

    @classmethod
    def at(
        cls,
        course: Course,
        level: float,
        rise: Floats | None = None,
        radius: Floats | None = None,
        moves: Ints | None = None,
    ) -> Cutting:
        """Slopes are cut where they cross `level`. Moves of an unknown cutter are left out: a check of its own tells them.

        Instead of the cutter's full diameter, anything round on the spindle may be asked: `radius` of each move (nan where
        it has none) and how far above the tip it begins. `moves`: only these, rising.
        """
        a, b, move = course.chords
        there = np.arange(len(move)) if moves is None else _ranges(move, moves)
        if moves is not None:
            a, b, move = a[there], b[there], move[there]
        rise = course.point if rise is None else rise
        radii = course.radius if radius is None else radius
        za, zb = a[:, 2] + rise[move], b[:, 2] + rise[move]
        cone = course.taper[move] > 0 if radius is None else np.zeros(len(move), np.bool_)
        least = np.minimum(za, zb)
        used = np.flatnonzero((least <= level) & np.isfinite(radii[move]) & ~(cone & (least > level - 1e-6)))
        none = np.zeros(0, np.int64)
        if not len(used):
            return cls(level, np.zeros(0, object), np.zeros(0), none, none, np.zeros(0))
        fresh = course.opens[there[used]] | (za[used] > level)
        fresh[1:] |= np.diff(there[used]) > 1
        fresh[0] = True
        # a part at a time, for memory; each begins where a run does
        start = np.flatnonzero(fresh)
        some = np.unique(start[np.searchsorted(start, np.arange(0, len(used), MANY), side="right") - 1])
        parts = [
            _lines(
                level,
                a[k, :2],
                b[k, :2],
                za[k],
                zb[k],
                move[k],
                radii[move[k]],
                fresh[i:j],
                _Cone.of(course, cone[k], move[k]),
            )
            for i, j in zip(some.tolist(), [*some[1:].tolist(), len(used)])
            for k in [used[i:j]]
        ]
        columns = (np.concatenate(v) for v in zip(*parts))
        return cls(level, *columns)

    def __len__(self) -> int:
        return len(self.radius)

    def take(self, which: Any) -> Cutting:
        """Some of the lines."""
        return Cutting(
            self.level, self.lines[which], self.radius[which], self.first[which], self.last[which], self.low[which]
        )

    @cached_property
    def distinct(self) -> Cutting:
        """Each way once, however many passes followed it: the first of them, with the lowest Z of all."""
        if len(self) < 2:
            return self
        model = np.arange(len(self))
        # only lines with the same ends may be the same
        ends = np.concatenate([shapely.get_coordinates(shapely.get_point(self.lines, k)) for k in (0, -1)], axis=1)
        key = np.column_stack(
            [np.rint(ends * 10000), np.rint(self.radius * 10000), shapely.get_num_coordinates(self.lines)]
        )
        _, key, count = np.unique(key, axis=0, return_inverse=True, return_counts=True)
        some = np.flatnonzero(count[key.ravel()] > 1)
        p, i = shapely.get_coordinates(self.lines[some], return_index=True)
        rows = np.column_stack([np.rint(p * 10000), np.rint(self.radius[some] * 10000)[i]]).astype(np.int64)
        last = np.cumsum(np.bincount(i, minlength=len(some))).tolist()
        seen: dict[bytes, int] = {}
        model[some] = [seen.setdefault(rows[a:b].tobytes(), k) for a, b, k in zip([0, *last], last, some.tolist())]
        low = self.low.copy()
        np.minimum.at(low, model, self.low)
        first = model == np.arange(len(self))
        one = self.take(first)
        return Cutting(self.level, one.lines, one.radius, one.first, one.last, low[first])

    @cached_property
    def tree(self) -> shapely.STRtree:
        """Tree over the lines."""
        return shapely.STRtree(self.lines)

    @cached_property
    def sizes(self) -> tuple[float, ...]:
        """The different radii."""
        return tuple(float(r) for r in np.unique(self.radius))

    def sweeps(self, grow: float = 0.0, tolerance: float = CHORD) -> Any:
        """What the cutter takes along each line, (k,) polygons within a tolerance, inside the true shape."""
        out = np.empty(len(self), object)
        lines = self.lines if tolerance <= CHORD else shapely.simplify(self.lines, tolerance / 2)
        for r in self.sizes:
            on = self.radius == r
            out[on] = shapely.buffer(lines[on], r + grow, quad_segs=quads(r + grow, tolerance))
        return out

    def near(self, where: shapely.Geometry, reach: float = 0.0) -> Cutting:
        """The lines whose sweep comes within `reach` of a place."""
        if not len(self):
            return self
        far = self.radius.max() + reach
        k = np.sort(self.tree.query(where, predicate="dwithin", distance=float(far)))
        return self.take(k)

    def before(self, move: int) -> Cutting:
        """What was taken before a move began."""
        return self.take(self.last < move)

    def swept(self) -> shapely.Geometry:
        """All of it, joined."""
        return shapely.union_all(self.sweeps()) if len(self) else shapely.Polygon()


def _ranges(move: Ints, some: Ints) -> Ints:
    """Indices of the chords of some moves, where `move` (m,) rises."""
    begin, end = np.searchsorted(move, some), np.searchsorted(move, some, side="right")
    count = end - begin
    out: Ints = np.arange(int(count.sum())) + np.repeat(begin - np.cumsum(count) + count, count)
    return out


@frozen
class _Cone:
    """Which chords (m,) a cone runs along, the radius of its tip, and by how much it grows for each mm upwards."""

    on: Bools
    tip: Floats
    taper: Floats

    @classmethod
    def of(cls, course: Course, on: Bools, move: Ints) -> _Cone:
        return cls(on, course.tip[move], course.taper[move])


def _lines(
    level: float, a: Floats, b: Floats, za: Floats, zb: Floats, move: Ints, radius: Floats, fresh: Bools, cone: _Cone
) -> tuple[Any, Floats, Ints, Ints, Floats]:
    """Lines of chords from `a` to `b` (m, 2), that reach from Z `za` to `zb`; `fresh` marks where a run of them begins."""
    for one, from_, z, other in ((a, b, za, zb), (b, a, zb, za)):
        k = np.flatnonzero(z > level)  # one end lies above: cut off there
        one[k] += ((level - z[k]) / (other[k] - z[k]))[:, None] * (from_[k] - one[k])
    low = np.minimum(za, zb)
    if cone.on.any():
        radius = np.where(cone.on, np.minimum(radius, cone.tip + (level - low) * cone.taper), radius)
        fresh[1:] |= cone.on[1:] & (np.abs(np.diff(radius)) > 1e-9)
    start, whole = np.flatnonzero(fresh), np.cumsum(fresh) - 1
    lowest = np.minimum.reduceat(low, start)
    # a plunge adds nothing to the way that goes on from its foot; but that way is a line of its own, so that passes over
    # one way look alike. Where a run only goes down and up, one line stands for it
    still = (np.abs(a[:, 0] - b[:, 0]) < 1e-9) & (np.abs(a[:, 1] - b[:, 1]) < 1e-9)
    alone = np.minimum.reduceat(still, start)[whole]
    # a cone takes more where it goes deeper, so that no plunge may be left out
    keep = ~still | (alone & fresh) | cone.on
    fresh[1:] |= still[:-1]
    if not keep.all():
        a, b, low, move, fresh, radius, whole, still = (v[keep] for v in (a, b, low, move, fresh, radius, whole, still))
    opens = np.append(True, np.diff(whole) > 0)
    fresh, low = fresh | opens, np.where(opens, lowest[whole], low)
    b[still, 0] += 1e-7  # a tree passes over a line of no length
    run = np.cumsum(fresh) - 1
    count = np.bincount(run)
    within = np.arange(len(run)) - (np.cumsum(count) - count)[run]
    parts = np.where(count > 1, np.maximum(2, -(-count // STRAND)), 1)[run]
    new = np.ones(len(run), bool)
    new[1:] = (np.diff(run) > 0) | (np.diff(within * parts // count[run]) > 0) | corners(np.vstack([a, b[-1:]]))[1:-1]
    k = np.cumsum(new) - 1
    points, owner = np.empty((len(k) + k[-1] + 1, 2)), np.empty(len(k) + k[-1] + 1, np.int64)
    at = np.arange(len(k)) + k + 1
    points[at], owner[at] = b, k
    points[at[new] - 1], owner[at[new] - 1] = a[new], k[new]
    begin = np.flatnonzero(new)
    end = np.append(begin[1:], len(k)) - 1
    lines = shapely.linestrings(points, indices=owner)
    return lines, radius[begin], move[begin], move[end], np.minimum.reduceat(low, begin)
