"""Time of a piece that is run from one speed to another."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Floats

__all__ = ["durations", "peaks"]


def peaks(lengths: Floats, begin: Floats, end: Floats, most: Floats, acceleration: Floats) -> Floats:
    """Fastest speed (mm/s) on each piece: half of what is left of the way is for speeding up, half for slowing down."""
    fastest: Floats = np.minimum(most, np.sqrt((begin**2 + end**2) / 2 + acceleration * lengths))
    return np.maximum(fastest, np.maximum(begin, end))  # the last bit of a root


def durations(lengths: Floats, begin: Floats, end: Floats, most: Floats, acceleration: Floats) -> Floats:
    """Least time (s) of each piece: mm, speeds `begin`, `end`, `most` in mm/s, mm/s2.

    The speeds must be such that one can be reached from the other. Up, along, down; the way along is what the others leave.

    >>> def one(mm, most):
    ...     return durations(*(np.array([v]) for v in (mm, 0.0, 0.0, most, 400.0))).round(4).tolist()
    >>> one(80.0, 40.0), one(1.5, 40.0)
    ([2.1], [0.1225])
    """
    peak = peaks(lengths, begin, end, most, acceleration)
    up, down = peak**2 - begin**2, peak**2 - end**2
    along = np.maximum(lengths - (up + down) / (2 * acceleration), 0.0)
    seconds: Floats = (peak - begin) / acceleration + along / peak + (peak - end) / acceleration
    return seconds
