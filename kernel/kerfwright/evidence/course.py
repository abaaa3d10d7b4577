"""All moves of the programs of one sheet, in running order, as arrays."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.evidence.reading import Reading

__all__ = ["Course"]

CHORD = 0.0005
"""Chords of a move keep within this of it (mm)."""
MANY = 20_000
"""Moves that are made chords at a time."""
STRETCH = 0.001
"""By so much (mm) at most the radius of a cone changes along a chord of a slope."""


@define(frozen=True, eq=False, slots=False)
class Course:
    """n moves. Ends `a`, `b` (n, 3) in mm, nan where the text has not said them; turns, feeds (0 rapid), spindle (rpm),
    program line, index of the program in `readings`, and index of the cutter in `cutters` (-1 where unknown).
    """

    readings: tuple[Reading, ...]
    cutters: tuple[Cutter, ...]
    a: Floats
    b: Floats
    turns: Floats
    feeds: Floats
    spindle: Floats
    lines: Ints
    program: Ints
    cutter: Ints

    @classmethod
    def of(cls, readings: Sequence[Reading], cutters: Sequence[Cutter]) -> Course:
        """Joined in the order given. Raises ValueError where a reading has no moves: nothing unread may be followed."""
        a, b, turns, feeds, spindle, lines, program, cutter = ([] for _ in range(8))
        place = {c.number: i for i, c in enumerate(cutters)}
        for k, reading in enumerate(readings):
            m = reading.moves
            if m is None:
                raise ValueError(f"{reading.file} was not read")
            a.append(m.curve.nodes[:-1])
            b.append(m.curve.nodes[1:])
            turns.append(m.curve.turns)
            feeds.append(m.feeds)
            spindle.append(m.spindle)
            lines.append(m.lines)
            program.append(np.full(len(m.curve), k))
            default = -1 if reading.cutter is None else place.get(reading.cutter.number, -1)
            numbers, back = np.unique(m.cutter, return_inverse=True)
            found = np.array([default if n == 0 else place.get(int(n), -1) for n in numbers.tolist()], np.int64)
            cutter.append(found[back] if len(numbers) else np.zeros(0, np.int64))
        return cls(
            tuple(readings), tuple(cutters),
            np.vstack([np.zeros((0, 3)), *a]), np.vstack([np.zeros((0, 3)), *b]),
            *(np.concatenate([np.zeros(0), *v]).astype(float) for v in (turns, feeds, spindle)),
            *(np.concatenate([np.zeros(0, np.int64), *v]).astype(np.int64) for v in (lines, program, cutter)),
        )  # fmt: skip

    def __len__(self) -> int:
        return len(self.turns)

    @cached_property
    def known(self) -> Bools:
        """Moves whose both ends the text has stated."""
        return np.asarray(np.isfinite(self.a).all(1) & np.isfinite(self.b).all(1))

    @cached_property
    def low(self) -> Floats:
        """Lowest Z of each move; nan where none is stated."""
        return np.fmin(self.a[:, 2], self.b[:, 2])

    @cached_property
    def across(self) -> Bools:
        """Moves that go anywhere in X or Y, or start from an unknown place."""
        d = self.b[:, :2] - self.a[:, :2]
        unknown = np.isnan(self.a[:, :2]) & np.isfinite(self.b[:, :2])
        return np.asarray(((np.abs(d) > 1e-9) | unknown).any(1) | (np.abs(self.turns) > 1e-12))

    @cached_property
    def rapid(self) -> Bools:
        """Moves at rapid."""
        return np.asarray(self.feeds == 0)

    @cached_property
    def radius(self) -> Floats:
        """Radius that the cutter cuts, nan where it is unknown."""
        return np.array([*(c.radius for c in self.cutters), np.nan])[self.cutter]

    @cached_property
    def taper(self) -> Floats:
        """How much the radius grows with height above the tip, 0 for a cylinder."""
        return np.array([*(c.taper for c in self.cutters), 0.0])[self.cutter]

    @cached_property
    def tip(self) -> Floats:
        """Radius at the tip: that of a cone's flat, a cylinder's own."""
        return np.array([*(c.radius_at(0.0) for c in self.cutters), np.nan])[self.cutter]

    @cached_property
    def point(self) -> Floats:
        """How far the tip lies below the full diameter (a drill's point), 0 where the cutter is unknown."""
        return np.array([*(c.point_length for c in self.cutters), 0.0])[self.cutter]

    @cached_property
    def chords(self) -> tuple[Floats, Floats, Ints]:
        """Every known move as chords: starts and ends (m, 3), and the move of each. Within a run of known moves of one
        program the end of one is the start of the next. Slopes of a cone are cut up until its radius hardly changes.
        """
        starts, ends, move = [np.zeros((0, 3))], [np.zeros((0, 3))], [np.zeros(0, np.int64)]
        known = np.flatnonzero(self.known)
        breaks = np.flatnonzero((np.diff(known) > 1) | (np.diff(self.program[known]) > 0)) + 1
        for run in np.split(known, breaks):
            if len(run):
                p, k = self._flat(run)
                starts.append(p[:-1])
                ends.append(p[1:])
                move.append(k)
        if len(starts) == 2:  # one run: starts and ends are the same points, kept once
            return self._stretched(starts[1], ends[1], move[1])
        return self._stretched(np.vstack(starts), np.vstack(ends), np.concatenate(move))

    def _stretched(self, a: Floats, b: Floats, move: Ints) -> tuple[Floats, Floats, Ints]:
        """Chords of slopes that a cone runs along in stretches of nearly one radius."""
        grows = np.abs(b[:, 2] - a[:, 2]) * self.taper[move]
        grows[(np.abs(b[:, :2] - a[:, :2]) < 1e-9).all(1)] = (
            0.0  # straight down: the lowest place has the largest radius
        )
        if not grows.any():
            return a, b, move
        n = np.maximum(1, np.ceil(grows / STRETCH - 1e-9)).astype(np.int64)
        k = np.repeat(np.arange(len(n)), n)
        f = (np.arange(len(k)) - np.repeat(np.cumsum(n) - n, n) + 1) / n[k]
        ends = a[k] + f[:, None] * (b - a)[k]
        last = f == 1
        ends[last] = b
        starts = np.vstack([ends[:0], a[:1], ends[:-1]])
        starts[np.cumsum(n) - n] = a
        return starts, ends, move[k]

    def _flat(self, run: Ints) -> tuple[Floats, Ints]:
        """Points along a run of moves, and the move of each but the first; some moves at a time, for memory."""
        points, move = [self.a[run[:1]]], []
        for k in range(0, len(run), MANY):
            some = run[k : k + MANY]
            p, seg = Curve(np.vstack([self.a[some[:1]], self.b[some]]), self.turns[some]).flat(CHORD)
            points.append(p[1:])
            move.append(some[seg])
        return np.vstack(points), np.concatenate(move)

    @cached_property
    def opens(self) -> Bools:
        """Chords that do not go on from the chord before them, or not with the same cutter, (m,)."""
        a, b, move = self.chords
        out = np.ones(len(move), np.bool_)
        out[1:] = (a[1:] != b[:-1]).any(axis=1) | (np.diff(self.cutter[move]) != 0)
        return out

    def nearest(self, x: float, y: float, first: int, last: int) -> int:
        """Which of the moves `first` to `last` comes nearest to a place in plan."""
        a, b, move = self.chords
        i, j = np.searchsorted(move, first), np.searchsorted(move, last, side="right")
        if i == j:
            return first
        p, d = a[i:j, :2], (b - a)[i:j, :2]
        f = (([x, y] - p) * d).sum(1) / np.maximum((d * d).sum(1), 1e-18)
        away = np.hypot(*(p + np.clip(f, 0, 1)[:, None] * d - [x, y]).T)
        return int(move[i + int(np.argmin(np.round(away, 6)))])

    @cached_property
    def lengths(self) -> Floats:
        """Length of each move in space, nan where its start is unknown."""
        d = self.b - self.a
        h = np.abs(self.turns) / 2
        bend = np.where(h < 1e-12, 1.0, h / np.where(h < 1e-12, 1.0, np.sin(np.maximum(h, 1e-12))))
        length: Floats = np.hypot(np.hypot(d[:, 0], d[:, 1]) * bend, d[:, 2])
        return length

    @cached_property
    def boxes(self) -> shapely.STRtree:
        """Tree over a square in plan around each move that holds all of it; empty where its start is unknown."""
        middle = (self.a[:, :2] + self.b[:, :2]) / 2
        half = self.lengths[:, None] / 2
        with np.errstate(invalid="ignore"):
            corners = np.hstack([middle - half, middle + half])
        return shapely.STRtree(shapely.box(*np.where(self.known[:, None], corners, np.nan).T))

    def at(self, move: int) -> tuple[float, ...] | None:
        """Where a move ends, for a finding; None where the text has not said it."""
        p = self.b[move]
        return tuple(round(float(v), 3) + 0.0 for v in p) if np.isfinite(p).all() else None

    def where(self, move: int) -> tuple[str, int]:
        """File and line of a move."""
        return self.readings[int(self.program[move])].file, int(self.lines[move])
