"""A hole in one stroke."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.strategy import Cycle

__all__ = ["Straight"]


@define(frozen=True, kw_only=True)
class Straight(Cycle):
    """Down at plunge feed in one stroke, up by rapid."""

    name: ClassVar[str] = "straight"

    def strokes(self, top: float, bottom: float) -> Floats:
        """One row."""
        return np.array([[bottom, top, 1.0, 0.0]])
