"""Where a stopped program can be taken up: the last place above the sheet from which its own text came down."""

from __future__ import annotations

import numpy as np
from attrs import frozen

from kerfwright.arrays import Bools
from kerfwright.errors import Fault, InputError
from kerfwright.moves import Moves
from kerfwright.resumption import DOUBT
from kerfwright.setup import Heights

__all__ = ["Restart", "restart"]

STOPS = ("pause", "optional_pause", "change")
SLACK = 0.002
"""Rounding of a height in the text (mm)."""


@frozen
class Restart:
    """Moves of the stopped program, from 0: `first` is the one the remainder begins with; what comes before `sure` was cut
    beyond doubt; what comes before `end` may have been cut.
    """

    first: int
    sure: int
    end: int


def restart(moves: Moves, line: int, heights: Heights) -> Restart:
    """For a program that stood at `line` (from 1). Doubt goes back to the last stop of the text at most: there the operator
    looked. Raises InputError where the line is not in the text, or lies in a change of cutter, and where the text is never
    above the sheet before it.
    """
    if not 1 <= line <= moves.length:
        raise _fault(f"found line {line}, allowed: 1 to {moves.length}, the lines of the file")
    n = moves.curve.nodes
    k, end = (int(v) for v in np.searchsorted(moves.lines, [line, line + 1]))
    _no_change(moves, line, k)
    cuts = _cuts(moves, heights)
    stop = max((e.before for e in moves.events if e.kind in STOPS and e.line < line), default=0)
    before = np.flatnonzero(cuts[stop:k]) + stop
    sure = k
    if len(before):
        back = np.cumsum(moves.curve.lengths_3d[before][::-1])[::-1]
        doubtful = np.flatnonzero(back >= DOUBT)
        sure = int(before[doubtful[-1] if len(doubtful) else 0])
    high = np.flatnonzero(np.isfinite(n).all(axis=1) & (n[:, 2] >= heights.travel - SLACK))
    on_time = high[(high <= sure) & (high >= stop)]
    if len(on_time) and on_time[-1] < len(moves.curve):
        first = int(on_time[-1])
    elif len(high) and not cuts[: high[0]].any() and not stop:  # in its opening: all of it is to be done
        first = int(high[0])
    else:
        raise _fault(f"nothing is left to do from line {line}, or the text is at the travel plane nowhere before it")
    return Restart(first, max(sure, first), max(end, first))


def _cuts(moves: Moves, heights: Heights) -> Bools:
    z = np.fmin(moves.curve.nodes[:-1, 2], moves.curve.nodes[1:, 2])
    with np.errstate(invalid="ignore"):
        return np.asarray((moves.feeds > 0) & (z < heights.highest - 1e-9))


def _no_change(moves: Moves, line: int, k: int) -> None:
    """Between the last move of one cutter and the first of the next nobody knows which of them is in the spindle."""
    new = {e.before for e in moves.events if e.kind == "change" and e.before > 0}
    if len(moves.cutter):
        new |= set((np.flatnonzero((np.diff(moves.cutter) != 0) & (moves.cutter[:-1] > 0)) + 1).tolist())
    if k in new and (k == len(moves.lines) or moves.lines[k] != line):
        last = int(moves.lines[k - 1])
        after = f", or {int(moves.lines[k])}, the first after it" if k < len(moves.lines) else ""
        raise _fault(
            f"found line {line}, in the middle of a change of cutter, allowed: {last}, the last move before it{after}"
        )


def _fault(text: str) -> InputError:
    return InputError([Fault("--at", text)])
