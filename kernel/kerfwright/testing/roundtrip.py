"""What was read against what was meant: places in order, the path between them, feeds, waits, stops and speeds."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.dialect import Dialect
from kerfwright.moves import Moves
from kerfwright.program import CutterChange, Drilling, Dwell, Motion, Pause, Program, SpindleOff, SpindleOn
from kerfwright.units import INCH
from kerfwright.writing.strokes import written_out

__all__ = ["compared"]

PATH = 0.002
"""How far what is said may lie from what is meant, besides rounding (mm)."""
SLOWER = 2.6
"""How much slower a feed may be said than meant (mm/min): a tenth of an inch."""
BETWEEN = 4
"""Rapids that may lie before the first place of a step."""


def compared(dialect: Dialect, program: Program, moves: Moves) -> Iterator[str]:
    """Nothing where they agree, else the first thing that differs of each sort."""
    yield from _events(program, moves)
    digit = (INCH if dialect.traits.units == "inch" else 1.0) / 10**dialect.traits.decimals
    at = 0
    for step in program.steps:
        if isinstance(step, Motion | Drilling):
            found = _Following(moves, digit, at)
            if wrong := found.along(step if isinstance(step, Motion) else _joined(written_out(step)[0])):
                yield wrong
                return
            at = found.at
    if any(not np.array_equal(node, moves.curve.nodes[at]) for node in moves.curve.nodes[at:]):
        yield f"it moves on after the last place, line {moves.lines[at]}"


class _Following:
    """Goes along what was read, from the node `at`."""

    def __init__(self, moves: Moves, digit: float, at: int) -> None:
        self.nodes, self.turns = moves.curve.nodes, moves.curve.turns
        self.feeds, self.lines, self.digit, self.at = moves.feeds, moves.lines, digit, at

    def along(self, way: Motion) -> str:
        """What differs from one motion; empty where nothing does."""
        c = way.curve
        first = self.at
        while not self._here(c.nodes[0]):
            if self.at == len(self.turns) or self.at - first >= BETWEEN or self.feeds[self.at] > 0:
                return f"the place {_place(c.nodes[0])} is not come to by rapid"
            self.at += 1
        for k, feed in enumerate(way.feeds):
            wrong = self._segment(Curve(c.nodes[k : k + 2], c.turns[k : k + 1]), float(feed))
            if wrong:
                return wrong
        return ""

    def _segment(self, meant: Curve, feed: float) -> str:
        while self.at < len(self.turns) and np.array_equal(self.nodes[self.at], self.nodes[self.at + 1]):
            self.at += 1  # a place said again
        first, upright = self.at, feed == 0 and not meant.chords.any()
        while not self._here(meant.nodes[1]) or (self.at == first and meant.length > 2 * self.digit):
            if self.at == len(self.turns):
                return f"the place {_place(meant.nodes[1])} is not reached"
            if self.at - first >= 1 and meant.turns[0] == 0 and not upright:
                return f"line {self.lines[self.at - 1]} goes elsewhere than to {_place(meant.nodes[1])}"
            self.at += 1
        said = self.feeds[first : self.at]
        if (said > feed + 1e-6).any() or ((said == 0) != (feed == 0)).any() or (said < feed - SLOWER).any():
            return f"line {self.lines[first]} has the feed {said.max():g}, {feed:g} mm/min was meant (0 is rapid)"
        return self._path(meant, first)

    def _path(self, meant: Curve, first: int) -> str:
        if meant.length < 10 * self.digit or self.at == first:
            return ""
        said = Curve(self.nodes[first : self.at + 1], self.turns[first : self.at])
        far = float(said.path(0.0002).hausdorff_distance(meant.path(0.0002)))
        low, high = sorted(meant.nodes[:, 2])
        off = max(low - said.nodes[:, 2].min(), said.nodes[:, 2].max() - high, far)
        most = PATH + 2.2 * self.digit + 0.0005
        return (
            f"line {self.lines[first]} lies {off:.4f} mm from what was meant, allowed: {most:.4f}" if off > most else ""
        )

    def _here(self, place: Floats) -> bool:
        return bool((np.abs(self.nodes[self.at] - place) <= 0.51 * self.digit + 1e-9).all())


def _joined(way: Motion) -> Motion:
    """A rapid that goes on up or down as one."""
    n, f = way.curve.nodes, way.feeds
    z = np.diff(n[:, 2])
    still = (n[:-1, :2] == n[1:, :2]).all(axis=1)
    on = still[:-1] & still[1:] & (f[:-1] == 0) & (f[1:] == 0) & (z[:-1] * z[1:] > 0)
    keep = np.concatenate([[True], ~on, [True]])
    return Motion(Curve.line(n[keep]), way.roles[keep[1:]], f[keep[1:]])


def _events(program: Program, moves: Moves) -> Iterator[str]:
    """Waits, speeds, stops and cutters."""
    steps = program.steps
    waits: list[float] = []
    for s in steps:
        if isinstance(s, Drilling):
            waits += s.strokes[:, 3].tolist() * len(s.points)
        elif isinstance(s, SpindleOn | SpindleOff | Dwell):
            waits.append(_wait(s))
    meant = [v for v in waits if v]
    said = [float(e.value) for e in moves.events if e.kind == "dwell"]
    if len(meant) != len(said) or any(not 0 <= b - a <= 1.001 for a, b in zip(meant, said)):
        yield f"dwells: found {said}, {meant} s were meant, none may be shorter nor longer by more than a second"
    speeds = [s.speed for s in steps if isinstance(s, SpindleOn)]
    found = [e.value for e in moves.events if e.kind == "speed"]
    if speeds != found:
        yield f"speeds: found {found}, {speeds} rpm were meant"
    if not np.array_equal(np.unique(moves.spindle[moves.feeds > 0]), np.unique(speeds)):
        yield f"speeds: feeds at {np.unique(moves.spindle[moves.feeds > 0])}, {speeds} rpm were meant"
    stops = sum(isinstance(s, Pause) or (isinstance(s, SpindleOn) and s.by_hand) for s in steps)
    paused = sum(e.kind == "pause" for e in moves.events)
    if paused < stops:
        yield f"stops: found {paused}, {stops} were meant"
    cutters = [float(s.cutter.number) for s in steps if isinstance(s, CutterChange)]
    if cutters and cutters[0] not in [e.value for e in moves.events if e.kind == "cutter"]:
        yield f"cutters: {cutters[0]:g} is not named"


def _wait(step: SpindleOn | SpindleOff | Dwell) -> float:
    if isinstance(step, SpindleOn):
        return step.wake_s
    return step.run_down_s if isinstance(step, SpindleOff) else step.seconds


def _place(node: Floats) -> str:
    return ", ".join(f"{v:g}" for v in node)
