"""A hole in several strokes, out of it each time."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.strategy import Cycle
from kerfwright_plugins.cycle._pecks import pecks

__all__ = ["Peck"]


@define(frozen=True, kw_only=True)
class Peck(Cycle):
    """Down at plunge feed in equal strokes, by rapid all the way out after each, which brings the dust up.

    Strokes count from the approach plane and are all equally deep, so that none is a sliver. No stroke goes down by rapid,
    not even where the hole is already there. The default depth is from memory.
    """

    name: ClassVar[str] = "peck"
    depth: float = fields.number("depth of a stroke, at most", unit="mm", least=0.05, most=100, default=1.0)

    def strokes(self, top: float, bottom: float) -> Floats:
        """One row a stroke."""
        z = pecks(top, bottom, self.depth)
        return np.column_stack([z, np.full(len(z), top), np.ones(len(z)), np.zeros(len(z))])
