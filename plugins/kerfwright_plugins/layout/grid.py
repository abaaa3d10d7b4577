"""Copies in columns and rows."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
import shapely
from attrs import define
from shapely import affinity

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.errors import NoRoom
from kerfwright.strategy import Layout

__all__ = ["Grid"]


@define(frozen=True, kw_only=True)
class Grid(Layout):
    """Columns along X and rows along Y, the first copy at the part's place, extents of neighbours `gap` apart.

    Order: along X first, then the next row.
    """

    name: ClassVar[str] = "grid"
    columns: int = fields.whole("copies along X", least=1, most=1000, default=1)
    rows: int = fields.whole("copies along Y", least=1, most=1000, default=1)
    gap: float = fields.number("between the extents of neighbours", unit="mm", least=0, most=1000, default=8.0)

    def places(self, outline: shapely.Geometry, at: tuple[tuple[float, float], ...], turn: float) -> Floats:
        """Rows of the grid. Raises NoRoom where the part names more than one place: which would be the first?"""
        if len(at) != 1:
            raise NoRoom(f"a grid starts at one place, {len(at)} are given; name one, or leave the layout out")
        x0, y0, x1, y1 = shapely.bounds(affinity.rotate(outline, turn, origin=(0, 0)))
        row, column = np.divmod(np.arange(self.columns * self.rows), self.columns)
        x, y = at[0]
        return np.column_stack(
            [x + column * (x1 - x0 + self.gap), y + row * (y1 - y0 + self.gap), np.full(len(row), float(turn))]
        )
