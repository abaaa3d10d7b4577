"""What is the same in every machining handbook: speed of the edge, feed of a tooth, thickness of a chip."""

from __future__ import annotations

import math

__all__ = ["chip_thickness", "cutting_speed", "feed_per_tooth"]


def cutting_speed(diameter: float, spindle: float) -> float:
    """Speed of the edge in m/min: pi D n / 1000.

    >>> round(cutting_speed(2, 22000), 1)
    138.2
    """
    return math.pi * diameter * spindle / 1000


def feed_per_tooth(feed: float, spindle: float, teeth: int) -> float:
    """Advance for each tooth in mm: feed / (n z).

    >>> round(feed_per_tooth(620, 22000, 2), 5)
    0.01409
    """
    return feed / (spindle * teeth)


def chip_thickness(feed_per_tooth: float, radial: float) -> float:
    """Greatest thickness of a chip (mm): 2 fz sqrt(a - a2) for a radial depth `radial` (fraction of DC) up to a half, fz above.

    >>> round(chip_thickness(0.025, 0.2), 4), chip_thickness(0.025, 0.8)
    (0.02, 0.025)
    """
    return feed_per_tooth if radial >= 0.5 else 2 * feed_per_tooth * math.sqrt(max(radial - radial**2, 0.0))
