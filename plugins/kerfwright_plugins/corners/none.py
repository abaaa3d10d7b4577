"""Inside corners as round as the cutter leaves them."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.strategy import Corners

__all__ = ["NoCorners"]


@define(frozen=True, kw_only=True)
class NoCorners(Corners):
    """Nothing is cut beyond a wall: inside corners keep the radius of the cutter."""

    name: ClassVar[str] = "none"

    def reliefs(self, loop: Curve, radius: float) -> Floats:
        """No rows."""
        return np.zeros((0, 4))
