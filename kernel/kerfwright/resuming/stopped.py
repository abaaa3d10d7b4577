"""What a program had done when it was stopped, as evidence."""

from __future__ import annotations

import attrs
import numpy as np

from kerfwright.curve import Curve
from kerfwright.evidence import Reading
from kerfwright.moves import Event, Moves

__all__ = ["done", "part"]


def done(reading: Reading, end: int, run_down_s: float) -> Reading:
    """Its first `end` moves, and then the stop itself: spindle off, run down, no more. Lines are those of its own text."""
    m = reading.moves
    assert m is not None
    line = int(m.lines[end - 1]) if end else 1
    stop = [Event("spindle", "off", line, end), Event("dwell", run_down_s, line, end), Event("end", "", line, end)]
    kept = [e for e in m.events if e.before <= end and e.kind != "end"]
    return attrs.evolve(reading, moves=_part(m, 0, end, (*kept, *stop)))


def part(reading: Reading, first: int, end: int) -> Reading:
    """Its moves from `first` up to `end` (not included), without events: what may have been cut, or may still be."""
    assert reading.moves is not None
    return attrs.evolve(reading, moves=_part(reading.moves, first, end, ()))


def _part(m: Moves, a: int, b: int, events: tuple[Event, ...]) -> Moves:
    curve = Curve(np.ascontiguousarray(m.curve.nodes[a : b + 1]), m.curve.turns[a:b])
    return Moves(curve, m.feeds[a:b], m.lines[a:b], m.spindle[a:b], m.cutter[a:b], events, m.length)
