"""Irregular pieces packed on sheets, the same way on every run."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

import numpy as np
import shapely
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.errors import NoRoom
from kerfwright.packing import Bed, Packing
from kerfwright_plugins.layout._cells import Stamps, cells_of, shape_of, unlike
from kerfwright_plugins.layout._crowd import Crowd

__all__ = ["CellNest"]

FINEST, COARSEST = 0.2, 2.0
"""Sides of a cell (mm)."""
ACROSS = 40
"""Cells in the width of a piece of middle size."""
SHEETS = 1000
"""More are a mistake in the count."""
FEW = 20
"""So many pieces are moved `effort` times; more of them less often, for each move takes longer."""


@define(frozen=True, kw_only=True)
class CellNest(Packing):
    """Pieces as far to the left as they go: largest first, then pushed closer together, sheet by sheet from the left.

    Sheets are looked at as cells of 0.2 to 2 mm, by the size of the pieces: distances come out larger than asked by up to
    two cells. Of four orders (by area, width, height and way around) the best is kept. Nothing lies in an opening.
    """

    name: ClassVar[str] = "nest"
    effort: int = fields.whole(
        "how often pieces are moved to bring them closer, for 20 pieces", least=1, most=100_000, default=2000
    )

    def pack(self, outlines: Sequence[shapely.Polygon], counts: Sequence[int], bed: Bed) -> Floats:
        """On a grid of cells. Raises NoRoom where a piece does not fit on an empty sheet."""
        half = bed.apart / 2
        every = np.repeat(np.arange(len(outlines)), counts)
        x0, y0, x1, y1 = (shapely.total_bounds(bed.areas) + [-half, -half, half, half]).tolist()
        size = float(np.clip(np.sqrt(shapely.area(outlines)[every].mean()) / ACROSS, FINEST, COARSEST))
        grid = (int((x1 - x0) / size + 1e-6), int((y1 - y0) / size + 1e-6))
        blocked = [_blocked(area, x0, y0, grid, size) for area in bed.areas]
        shapes = [
            shape_of(one, k, turn, half, size) for k, one in enumerate(outlines) for turn in unlike(one, bed.turns)
        ]
        of = [[n for n, s in enumerate(shapes) if s.outline == k] for k in range(len(outlines))]
        stamps = Stamps(shapes)
        start = np.array([(of[k][0], 0, 0) for k in every.tolist()], np.int64)
        tried, away = list[Crowd](), dict[tuple[int, int], Bools]()
        for order in _orders(outlines, every):
            crowd = Crowd(stamps, of, blocked, start.copy(), away=away)
            if not crowd.put(order, SHEETS):
                raise NoRoom(_too_large(outlines, bed))
            tried.append(crowd)
        best = min(tried, key=lambda one: one.right)
        best.closer(self.effort * FEW // max(FEW, len(every)))
        k, (sheet, i), j = best.rows[:, 0], np.divmod(best.rows[:, 1], grid[0]), best.rows[:, 2]
        turns = np.array([s.turn for s in shapes])[k]
        return np.column_stack([every, sheet, x0 + i * size + half, y0 + j * size + half, turns])


def _blocked(area: shapely.Geometry, x0: float, y0: float, grid: tuple[int, int], size: float) -> Bools:
    """Cells (nx, ny) that lie outside of a free area, in part or all."""
    whole = shapely.box(x0, y0, x0 + grid[0] * size, y0 + grid[1] * size)
    outside = shapely.buffer(shapely.difference(whole, area), -1e-6, join_style="mitre")
    return np.zeros(grid, np.bool_) if shapely.is_empty(outside) else cells_of(outside, x0, y0, grid, size)


def _orders(outlines: Sequence[shapely.Polygon], every: Ints) -> list[list[int]]:
    """Pieces, largest first, by different sizes."""
    bounds = shapely.bounds(outlines)
    sizes = (
        shapely.area(outlines),
        bounds[:, 2] - bounds[:, 0],
        bounds[:, 3] - bounds[:, 1],
        shapely.length(outlines),
    )
    found = [tuple(np.argsort(-size[every], kind="stable").tolist()) for size in sizes]
    return [list(one) for one in dict.fromkeys(found)]


def _too_large(outlines: Sequence[shapely.Polygon], bed: Bed) -> str:
    """Which piece the fault is most likely about: the widest."""
    widest = max(outlines, key=shapely.minimum_bounding_radius)
    x0, y0, x1, y1 = widest.bounds
    u0, v0, u1, v1 = bed.areas[-1].bounds
    return (
        f"not every piece fits on an empty sheet in a turn allowed: the largest measures {x1 - x0:.4g} x {y1 - y0:.4g} mm, "
        f"of the sheet {u1 - u0:.4g} x {v1 - v0:.4g} mm are free"
    )
