"""A drilling step written out as motion, and the way to it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from attrs import evolve

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.program import Drilling, Motion

__all__ = ["across", "between_waits", "written_out"]


def written_out(step: Drilling) -> tuple[Motion, Floats]:
    """Its strokes as n segments, and the dwell (n,) in s after each: at the bottom of the stroke that has one."""
    k, n = len(step.strokes), len(step.points)
    waits = np.zeros((n, 2 * k + 3))
    waits[:, 2 : 2 + 2 * k : 2] = step.strokes[:, 3]
    return evolve(step, strokes=step.strokes * [1.0, 1.0, 1.0, 0.0]).expanded(), waits.ravel()[1:]


def across(here: Floats, there: Floats) -> Motion:
    """By rapid up, across, down."""
    high = max(here[2], there[2])
    way = Curve.line([here, [*here[:2], high], [*there[:2], high], there])
    return Motion(way, np.zeros(3, np.int64), np.zeros(3))


def between_waits(step: Drilling) -> Iterator[tuple[Motion, float]]:
    """Its strokes in pieces, each with the dwell (s) that follows it; 0 after the last, where none does."""
    motion, waits = written_out(step)
    c = motion.curve
    ends = np.unique([*(np.flatnonzero(waits) + 1), len(c)]).tolist()
    for a, b in zip([0, *ends], ends):
        piece = Curve(c.nodes[a : b + 1], c.turns[a:b])
        yield Motion(piece, motion.roles[a:b], motion.feeds[a:b]), float(waits[b - 1])
