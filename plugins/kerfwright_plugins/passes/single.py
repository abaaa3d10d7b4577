"""All at once."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.strategy import Passes

__all__ = ["Single"]


@define(frozen=True, kw_only=True)
class Single(Passes):
    """The whole depth in one pass, whatever the axial depth of the rates."""

    name: ClassVar[str] = "single"

    def levels(self, top: float, bottom: float, axial_depth: float) -> Floats:
        """The bottom alone."""
        return np.array([bottom], float)
