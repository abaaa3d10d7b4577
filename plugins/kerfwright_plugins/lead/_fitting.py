"""Leads as large as they were asked for, smaller where there is no room."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.room import Room

__all__ = ["LEAST", "MOST", "ahead", "fitting"]

LEAST = 0.1
"""Size (mm) below which a lead would be no more than a mark on the wall (from memory)."""
MOST = 8.0
"""Largest lead (mm): with the cutter's radius it stays within 10 mm, or four diameters, of the piece."""
SHRINK = math.sqrt(0.5)
"""From one size tried to the next."""


def fitting(size: float, room: Room, ways: Callable[[float], tuple[Curve, Curve]], noun: str) -> tuple[Curve, Curve]:
    """Ways in and out of the largest size up to `size` (mm) that both fit. Raises NoRoom where none of 0.1 mm does."""
    one = size
    while one >= min(LEAST, size):
        go, out = ways(one)
        if room.fits(go) and room.fits(out):
            return go, out
        one *= SHRINK
    raise NoRoom(f"no {noun} of {size:g} mm fits beside the wall, nor a smaller one down to {min(LEAST, size):g} mm")


def ahead(angle: float, length: float) -> Floats:
    """A step (3,) of `length` (mm) in a direction (rad)."""
    return length * np.array([math.cos(angle), math.sin(angle), 0.0])
