"""How much of a cutter's edge is in the material while it goes round a loop, beside the disc that the loop before has cleared."""

from __future__ import annotations

import math

import numpy as np

from kerfwright.arrays import Floats

__all__ = ["engagement", "straight"]

ROUND = np.linspace(-math.pi / 2, math.pi, 97)
"""Where a loop is looked at: from a quarter before the foremost place to half a round after it."""


def straight(depth: float, radius: float) -> float:
    """Engagement (rad) of a straight cut whose radial depth is `depth`: from the edge that goes ahead to the one at the side.

    >>> round(math.degrees(straight(1.0, 1.0)), 6), round(math.degrees(straight(2.0, 1.0)), 6)
    (90.0, 180.0)
    """
    return math.acos(1 - min(depth / radius, 2.0))


def engagement(ahead: Floats, loop: float, cleared: float, radius: float) -> float:
    """The greatest engagement (rad) on a loop of the center, counter-clockwise, of radius `loop` (mm).

    `ahead` (2,) is its middle as seen from the middle of the disc of radius `cleared` that is gone already; a cutter of
    `radius` finds material outside of that disc only. What the loop itself has taken, up to there, is gone too: only the
    leading half of the edge cuts.
    """
    way = math.atan2(ahead[1], ahead[0])
    u = ROUND + way
    center = ahead + loop * np.column_stack([np.cos(u), np.sin(u)])
    away = np.hypot(*center.T)
    with np.errstate(divide="ignore", invalid="ignore"):
        half = np.arccos(np.clip((cleared**2 - away**2 - radius**2) / (2 * away * radius), -1, 1))
    half[away + radius <= cleared] = 0.0
    lean = np.arctan2(center[:, 1], center[:, 0]) - u  # where the material lies, against straight out
    lean = (lean + math.pi) % (2 * math.pi) - math.pi
    first = np.maximum(0.0, lean - half)
    last = np.minimum(math.pi, lean + half)
    return float(np.max(np.where(half > 0, last - first, 0.0), initial=0.0))
