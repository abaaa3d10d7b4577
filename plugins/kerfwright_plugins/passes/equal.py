"""Passes of one depth."""

from __future__ import annotations

import math
from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.strategy import Passes

__all__ = ["Equal"]


@define(frozen=True, kw_only=True)
class Equal(Passes):
    """As few passes as the axial depth allows, all of the same depth: no last pass that only rubs."""

    name: ClassVar[str] = "equal"

    def levels(self, top: float, bottom: float, axial_depth: float) -> Floats:
        """Evenly from `top`, which is not among them, to exactly `bottom`."""
        n = max(1, math.ceil((top - bottom) / axial_depth - 1e-9))
        return np.append(top + (bottom - top) * np.arange(1, n) / n, bottom)
