"""Time of each operation: the stretch of the read-back moves that the plan's step became."""

from __future__ import annotations

import numpy as np
from attrs import evolve, frozen

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.moves import Moves
from kerfwright.program import CutterChange, Drilling, Motion, Program
from kerfwright.timing.times import Times

__all__ = ["OperationTime", "operation_times"]

NEAR = 0.01
"""A node of the text is the plan's where it lies so near (mm): half of the coarsest last digit is 0.0013 mm (0.0001 inch)."""
SLACK = 0.5
"""Length (mm) by which a step may be longer or shorter in the text, for rounded words; and a hundredth of its length."""


@frozen
class OperationTime:
    """Seconds of one operation (its path in the job, `operations[0].drill`) with its cutter, ways to its places included."""

    operation: str
    cutter: str
    time_s: float


def operation_times(program: Program, moves: Moves, times: Times) -> tuple[OperationTime, ...]:
    """One for each operation in the order of their first cuts; none where the text does not follow the plan.

    A text does not say which operation a move belongs to. Each step of the plan begins and ends at a place and has a length:
    the moves from the first node at its beginning to that node at its end up to which the length is the step's own are it.
    Both halves of an operation with a skin are one.
    """
    nodes = moves.curve.nodes
    s = np.concatenate([[0.0], np.cumsum(np.nan_to_num(moves.curve.lengths_3d))])
    seconds: dict[tuple[str, str], float] = {}
    at, cutter, fresh = 0, program.cutter.name, True
    for step in program.steps:
        if isinstance(step, CutterChange):
            cutter, fresh = step.cutter.name, True
        if not isinstance(step, Motion | Drilling) or not step.operation:
            continue
        way = _way(step)
        begin = _first(nodes, way.start, at)
        end = -1 if begin < 0 else _reached(nodes, s, way, begin)
        if end < 0:
            return ()
        key = step.operation, cutter
        seconds[key] = seconds.get(key, 0.0) + times.between(begin if fresh else at, end)
        at, fresh = end, False
    return tuple(OperationTime(operation, name, took) for (operation, name), took in seconds.items())


def _way(step: Motion | Drilling) -> Curve:
    if isinstance(step, Motion):
        return step.curve
    return evolve(step, strokes=step.strokes * [1.0, 1.0, 1.0, 0.0]).expanded().curve


def _first(nodes: Floats, place: Floats, at: int) -> int:
    """The first node from `at` on that lies there; -1 for none. It is most often near: looked for in ever longer stretches."""
    begin, count = at, 64
    while begin < len(nodes):
        near = np.abs(nodes[begin : begin + count] - place).max(axis=1) < NEAR
        if near.any():
            return begin + int(np.argmax(near))
        begin, count = begin + count, 4 * count
    return -1


def _reached(nodes: Floats, s: Floats, way: Curve, begin: int) -> int:
    """The node at the end of the way that begins there; -1 for none."""
    length = float(way.lengths_3d.sum())
    slack = SLACK + length / 100
    stop = int(np.searchsorted(s, s[begin] + length + slack, side="right"))
    near = np.flatnonzero(np.abs(nodes[begin:stop] - way.end).max(axis=1) < NEAR)
    if not len(near):
        return -1
    off = np.abs(s[begin + near] - s[begin] - length)
    best = int(np.argmin(off))
    return begin + int(near[best]) if off[best] <= slack else -1
