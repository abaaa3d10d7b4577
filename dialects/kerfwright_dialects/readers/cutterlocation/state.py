"""What statements have said so far. Nothing is taken for granted that they have not said."""

from __future__ import annotations

import math

import numpy as np
from attrs import define, field

from kerfwright.arrays import Floats

__all__ = ["Circle", "State"]


@define(frozen=True)
class Circle:
    """Of the next move (mm); `sense` 1 counter-clockwise, -1 clockwise."""

    center: tuple[float, float, float]
    sense: float
    radius: float


@define(eq=False)
class State:
    """None, nan or empty: not said. Lengths in mm."""

    begun: bool = False
    unit: float | None = None
    here: Floats = field(factory=lambda: np.full(3, np.nan))
    clear: float = math.nan
    """The clearance plane."""
    feed: float = math.nan
    rapid: bool = False
    """The next move is rapid."""
    circle: Circle | None = None
    speed: float = 0.0
    """Of the spindle while it turns, else 0."""
    remark: str = ""
    """Text right before this statement."""
    ended: bool = False
    closed: bool = False
