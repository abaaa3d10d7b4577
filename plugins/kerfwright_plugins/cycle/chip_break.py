"""A hole in several strokes, lifted a little after each."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.strategy import Cycle
from kerfwright_plugins.cycle._pecks import pecks

__all__ = ["ChipBreak"]


@define(frozen=True, kw_only=True)
class ChipBreak(Cycle):
    """Down at plunge feed in equal strokes, by rapid a little up after each, which breaks the chip; out after the last.

    Strokes count from the approach plane, and each is equally far below the last, so that none is a sliver. The defaults
    are from memory.
    """

    name: ClassVar[str] = "chip_break"
    depth: float = fields.number("depth of a stroke, at most", unit="mm", least=0.05, most=100, default=1.0)
    back: float = fields.number("how far up after a stroke", unit="mm", above=0, most=10, default=0.2)

    def strokes(self, top: float, bottom: float) -> Floats:
        """One row a stroke."""
        z = pecks(top, bottom, self.depth)
        up = np.append(np.minimum(z[:-1] + self.back, top), top)
        return np.column_stack([z, up, np.ones(len(z)), np.zeros(len(z))])
