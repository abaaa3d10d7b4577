"""Irregular pieces packed on sheets by a library."""

from __future__ import annotations

import math
from collections.abc import Sequence
from importlib import import_module
from typing import Any, ClassVar

import numpy as np
import shapely
from attrs import define
from shapely import affinity

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.errors import NoRoom
from kerfwright.packing import Bed, Packing
from kerfwright_plugins.layout._free import rectangle

__all__ = ["SearchedNest"]

HAIR = 0.01
"""What the library keeps from an edge besides (mm): it rounds."""
DENSE = 0.9
"""More of a rectangle than this is never filled by irregular pieces: where to begin when not all fit."""
SHEETS = 1000
"""More are a mistake in the count."""


@define(frozen=True, kw_only=True)
class SearchedNest(Packing):
    """As `nest`, closer: a library packs the pieces; needs the extra `nest`. Not reproducible.

    The library (spyrrow) runs in one thread until its time is over, chance guides it from a given seed, and how far it
    comes depends on the machine. It packs rectangles: of a sheet with keepouts the largest free one. Nothing lies in an
    opening.
    """

    name: ClassVar[str] = "search"
    reproducible: ClassVar[bool] = False
    effort: int = fields.whole("time the library may take for one sheet, in seconds", least=1, most=3600, default=10)
    seed: int = fields.whole("another number starts the library elsewhere", least=0, most=9999, default=0)

    def pack(self, outlines: Sequence[shapely.Polygon], counts: Sequence[int], bed: Bed) -> Floats:
        """Sheet by sheet. Raises NoRoom without the library, and where a piece does not fit on an empty sheet."""
        try:
            library = import_module("spyrrow")
        except ImportError:
            raise NoRoom("the layout `search` needs spyrrow: pip install 'kerfwright[nest]', or take `nest`") from None
        left = np.repeat(np.arange(len(outlines)), counts)
        left = left[np.argsort(-shapely.area(outlines)[left], kind="stable")]
        rows: list[tuple[float, ...]] = []
        for sheet in range(SHEETS):
            if not len(left):
                break
            x0, y0, x1, y1 = rectangle(bed.area(sheet))
            some = _fitting(outlines, left, (x1 - x0) * (y1 - y0))
            found: list[tuple[float, ...]] = []
            while len(some) and not found:
                found = self._sheet(library, outlines, some, (x1 - x0, y1 - y0), bed)
                if not found:
                    some = some[: min(len(some) - 1, math.floor(len(some) * 0.93))]
            if not found and sheet >= len(bed.areas) - 1:
                raise NoRoom("a piece does not fit on an empty sheet in a turn allowed, beside the keepouts")
            rows += [(k, sheet, x + x0, y + y0, turn) for k, x, y, turn in found]
            used = np.bincount([int(v[0]) for v in found], minlength=len(outlines))
            left = np.concatenate([np.repeat(k, (left == k).sum() - used[k]) for k in dict.fromkeys(left.tolist())])
        return np.array(rows)

    def _sheet(
        self, library: Any, outlines: Sequence[shapely.Polygon], some: Any, size: tuple[float, float], bed: Bed
    ) -> list[tuple[float, ...]]:
        """Outline, x, y and turn of each piece on one rectangle; nothing where they do not all fit."""
        if min(size) <= 0:
            return []
        items = [
            library.Item(str(k), list(outlines[k].exterior.coords)[:-1], int(n), [float(t) for t in bed.turns])
            for k, n in zip(*np.unique(some, return_counts=True), strict=True)
        ]
        fitting = {int(i.id): _fitting_turn(outlines[int(i.id)], size, bed.turns) for i in items}
        if None in fitting.values():
            return []
        if len(some) == 1:  # nothing to pack
            return [(k, 0.0, 0.0, turn) for k, turn in fitting.items() if turn is not None]
        config = library.StripPackingConfig(
            early_termination=True,
            min_items_separation=bed.apart + HAIR,
            total_computation_time=self.effort,
            num_workers=1,
            seed=self.seed,
        )
        found = library.StripPackingInstance("", size[1], items).solve(config)
        if found.width > size[0]:
            return []
        out: list[tuple[float, ...]] = []
        for one in found.placed_items:
            turned = affinity.rotate(outlines[int(one.id)], one.rotation, origin=(0, 0))
            x0, y0, _, _ = turned.bounds
            out.append((int(one.id), x0 + one.translation[0], y0 + one.translation[1], one.rotation))
        return out


def _fitting(outlines: Sequence[shapely.Polygon], left: Any, area: float) -> Any:
    """As many of what is left as could fill an area."""
    return left[: int(np.searchsorted(np.cumsum(shapely.area(outlines)[left]), DENSE * area, side="right"))]


def _fitting_turn(outline: shapely.Polygon, size: tuple[float, float], turns: Sequence[float]) -> float | None:
    """The first turn in which an outline fits into a rectangle."""
    for turn in turns:
        x0, y0, x1, y1 = affinity.rotate(outline, turn, origin=(0, 0)).bounds
        if x1 - x0 <= size[0] and y1 - y0 <= size[1]:
            return turn
    return None
