"""Layouts that find the places themselves: irregular pieces of several parts, packed on as many sheets as it takes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from attrs import define, frozen
from numpy.typing import NDArray
from shapely import affinity

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.strategy import Layout

__all__ = ["Bed", "Packing", "laid_out"]

CLOSE = 1e-4
"""Rounding of places (mm)."""


@frozen(eq=False)
class Bed:
    """Where pieces may lie: `areas` of the first sheets, the last of them for every further one too; the least distance
    between two outlines (mm); the turns allowed (degrees).
    """

    areas: tuple[shapely.Geometry, ...]
    apart: float
    turns: tuple[float, ...]

    def area(self, sheet: int) -> shapely.Geometry:
        """Of a sheet, counted from 0."""
        return self.areas[min(sheet, len(self.areas) - 1)]


@define(frozen=True, kw_only=True)
class Packing(Layout):
    """A layout that is asked once for all parts that name it with the same parameters, `count` and `gap` apart."""

    count: int = fields.whole("copies", least=1, most=10_000, default=1)
    gap: float = fields.number(
        "web left standing between the kerfs of neighbours", unit="mm", least=0, most=1000, default=5.0
    )

    def pack(self, outlines: Sequence[shapely.Polygon], counts: Sequence[int], bed: Bed) -> Floats:
        """Rows (n, 5), a piece each: index of its outline, sheet from 0, x, y of the lower left corner of the turned
        outline's extent, turn (degrees).

        Outlines have no holes: no piece lies in the opening of another. Raises NoRoom where one does not fit on an empty
        sheet.
        """
        raise NotImplementedError

    def packed(self, outlines: Sequence[shapely.Polygon], counts: Sequence[int], bed: Bed) -> Floats:
        """Ask, and prove the answer."""
        rows: Any = np.asarray(self.pack(outlines, counts, bed), float)
        self._hold(rows.ndim == 2 and rows.shape[1] == 5 and np.isfinite(rows).all(), "pieces are rows of five numbers")
        self._hold(
            np.bincount(rows[:, 0].astype(np.int64), minlength=len(counts)).tolist() == list(counts),
            "every copy has one place",
        )
        away = np.abs((rows[:, 4, None] - np.array(bed.turns) + 180) % 360 - 180).min(axis=1)
        self._hold((away < CLOSE).all(), "a piece is turned as it may be")
        areas = laid_out(outlines, rows)
        for sheet in np.unique(rows[:, 1]).astype(int).tolist():
            mine = areas[rows[:, 1] == sheet]
            self._hold(
                shapely.covers(shapely.buffer(bed.area(sheet), CLOSE), mine).all(), "a piece lies in the free area"
            )
            a, b = shapely.STRtree(mine).query(mine, predicate="dwithin", distance=max(bed.apart - CLOSE, 0.0))
            touching = (a != b) & (
                shapely.area(shapely.intersection(mine[a], mine[b])) > CLOSE if bed.apart == 0 else True
            )
            self._hold(not touching.any(), "pieces lie apart")
        return np.asarray(rows, float)

    def places(self, outline: shapely.Geometry, at: tuple[tuple[float, float], ...], turn: float) -> Floats:
        """On a square with room for all copies, from the first place on: of use where there is no sheet."""
        turned = affinity.rotate(_filled(outline), turn, origin=(0, 0))
        x0, y0, x1, y1 = turned.bounds
        side = (math.hypot(x1 - x0, y1 - y0) + self.gap) * (math.ceil(math.sqrt(self.count)) + 1)
        x, y = at[0]
        rows = self.packed([turned], [self.count], Bed((shapely.box(x, y, x + side, y + side),), self.gap, (0.0,)))
        return np.column_stack([rows[:, 2:4], rows[:, 4] + turn])


def laid_out(outlines: Sequence[shapely.Geometry], rows: Floats) -> NDArray[np.object_]:
    """The outline of each row of `Packing.pack` where it lies."""
    out = np.empty(len(rows), object)
    for n, (k, _, x, y, turn) in enumerate(rows.tolist()):
        turned = affinity.rotate(outlines[int(k)], turn, origin=(0, 0))
        x0, y0, _, _ = turned.bounds
        out[n] = affinity.translate(turned, x - x0, y - y0)
    return out


def _filled(area: shapely.Geometry) -> shapely.Polygon:
    """The hull of several pieces, or the outer ring of one."""
    return shapely.Polygon(area.exterior) if isinstance(area, shapely.Polygon) else shapely.convex_hull(area)
