"""Follows a run of moves at once. Where anything in it is not as it should be it does nothing, and says so."""

from __future__ import annotations

import math
import re

import numpy as np

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright_dialects.readers.cutterlocation.following import LONGEST, apart
from kerfwright_dialects.readers.cutterlocation.state import State
from kerfwright_dialects.readers.decimals import LONGEST as DIGITS
from kerfwright_dialects.readers.decimals import scaled
from kerfwright_dialects.readers.sink import Sink

__all__ = ["RUN", "ready", "take"]

MANY = 30_000
"""Moves that are followed together, for speed."""
_N = r"[+-]?\d++(?:\.\d++)?"
RUN = re.compile(
    rf"(?:(?:FEDRAT/{_N},PERMIN\n)?+(?:RAPID\n|CIRCLE/{_N},{_N},{_N},0,0,-?1,{_N}\n)?+GOTO/{_N},{_N},{_N}\n){{1,{MANY}}}+"
)
"""Moves as most programs have them; numbers with digits before the point."""
_COUNTS = {"F": 1, "R": 0, "C": 7, "G": 3}
_STRIP = (("GOTO/", ""), ("CIRCLE/", ""), ("FEDRAT/", ""), (",PERMIN", ""), ("RAPID\n", ""), ("\n", ","))


def ready(state: State) -> bool:
    """All that a run relies on has been said."""
    return (
        state.unit is not None
        and not (state.rapid or state.ended or state.closed)
        and state.circle is None
        and bool(np.isfinite(state.here).all())
    )


def take(run: str, first: int, longest: int, state: State, sink: Sink) -> bool:
    """A text that RUN matches, `first` the number of its first line. False: nothing was done."""
    assert state.unit is not None
    raw = np.frombuffer(run.encode("ascii"), np.uint8)
    ends = np.flatnonzero(raw == 10)
    starts = np.concatenate([[0], ends[:-1] + 1])
    kind = raw[starts]
    if (ends - starts).max() > longest:
        return False
    for word, instead in _STRIP:
        run = run.replace(word, instead)
    numbers = _numbers(run)
    if numbers is None:
        return False
    many = np.zeros(len(kind), np.int64)
    for letter, count in _COUNTS.items():
        many[kind == ord(letter)] = count
    at = np.cumsum(many) - many
    go = np.flatnonzero(kind == ord("G"))
    end = numbers[at[go][:, None] + np.arange(3)] * state.unit
    start = np.vstack([state.here, end[:-1]])
    before = kind[np.maximum(go - 1, 0)]
    before[0] = before[0] if go[0] else 0
    rapid = before == ord("R")
    feeds = _feeds(numbers, at, kind, go, state)
    if not (feeds[~rapid] > 0).all():
        return False
    turns = _turns(numbers, at, go, before == ord("C"), start, end, state.unit)
    if turns is None:
        return False
    sink.run(end, turns, np.where(rapid, 0.0, feeds), first + go, state.speed)
    state.here = end[-1].copy()
    said = np.flatnonzero(kind == ord("F"))
    if len(said):
        state.feed = float(numbers[at[said[-1]]] * state.unit)
    state.remark = ""
    return True


def _numbers(text: str) -> Floats | None:
    """Numbers with a comma behind each; None where one has more digits than are exact."""
    raw = np.frombuffer(text.encode("ascii"), np.uint8)
    ends, dots = np.flatnonzero(raw == ord(",")), np.flatnonzero(raw == ord("."))
    if np.diff(ends, prepend=-1).max() > DIGITS:
        return None
    decimals = np.zeros(len(ends), np.int64)
    owner = np.searchsorted(ends, dots)
    decimals[owner] = ends[owner] - dots - 1
    return scaled(np.fromstring(text[:-1].replace(".", ""), np.int64, sep=","), decimals)


def _feeds(numbers: Floats, at: Ints, kind: Ints, go: Ints, state: State) -> Floats:
    """Feed in force at each move (mm/min), nan where none was said."""
    assert state.unit is not None
    said = np.maximum.accumulate(np.where(kind == ord("F"), np.arange(len(kind)), -1))[go]
    out: Floats = np.where(said >= 0, numbers[np.minimum(at[said], len(numbers) - 1)] * state.unit, state.feed)
    return out


def _turns(numbers: Floats, at: Ints, go: Ints, arc: Bools, start: Floats, end: Floats, unit: float) -> Floats | None:
    """Angle of each move (n,), 0 for lines; None where an arc is not as it should be, or needs two segments."""
    turns = np.zeros(len(go))
    k = np.flatnonzero(arc)
    if not len(k):
        return turns
    c = numbers[at[go[k] - 1][:, None] + np.array([0, 1, 2, 5, 6])]
    center, sense, radius = c[:, :3] * unit, c[:, 3], c[:, 4] * unit
    a, b = start[k] - center, end[k] - center
    ra, rb = np.hypot(a[:, 0], a[:, 1]), np.hypot(b[:, 0], b[:, 1])
    radii = np.stack([ra, rb, radius])
    angle = sense * ((sense * (np.arctan2(b[:, 1], b[:, 0]) - np.arctan2(a[:, 1], a[:, 0]))) % (2 * math.pi))
    good = (
        (np.ptp(radii, axis=0) <= apart(unit) + 1e-9)
        & (np.abs(a[:, 2]) <= 1e-6)
        & (np.abs(b[:, 2]) <= 1e-6)
        & (np.abs(end[k, :2] - start[k, :2]).max(axis=1) >= 1e-9)
        & (np.abs(angle) <= LONGEST)
        & (radius > 0)
    )
    if not good.all():
        return None
    turns[k] = angle
    return turns
