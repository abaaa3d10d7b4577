"""How many chords stand for a circle within a tolerance."""

from __future__ import annotations

import math

__all__ = ["chords_of_circle", "quad_segs"]


def chords_of_circle(radius: float, tolerance: float) -> int:
    """Fewest equal chords whose middle lies at most `tolerance` (mm) inside a circle of `radius` (mm): r (1 - cos(pi/n)).

    >>> chords_of_circle(10, 0.005)
    100
    """
    if tolerance >= radius:
        return 3
    return max(3, math.ceil(math.pi / math.acos(1 - tolerance / radius) - 1e-9))


def quad_segs(radius: float, tolerance: float) -> int:
    """The same as chords of a quarter, the form in which GEOS wants it.

    >>> quad_segs(10, 0.005)
    25
    """
    return max(2, math.ceil(chords_of_circle(radius, tolerance) / 4))
