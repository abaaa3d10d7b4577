"""Copies where the job says."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.strategy import Layout

__all__ = ["Placed"]


@define(frozen=True, kw_only=True)
class Placed(Layout):
    """One copy at each of the part's places."""

    name: ClassVar[str] = "placed"

    def places(self, outline: shapely.Geometry, at: tuple[tuple[float, float], ...], turn: float) -> Floats:
        """The places themselves."""
        return np.array([(x, y, turn) for x, y in at], float)
