"""Pieces as cells of a grid: how much of one another two of them fill, at every distance between them."""

from __future__ import annotations

import math
from itertools import count

import numpy as np
import shapely
from attrs import define, field, frozen
from numpy.typing import NDArray
from shapely import affinity

from kerfwright.arrays import Bools, Ints

__all__ = ["Shape", "Stamps", "cells_of", "forbidden", "shape_of", "unlike"]

BLOCK = 16
"""Cells along the side of a block."""
HAIR = 1e-6
"""What only touches a cell does not fill it (mm)."""


@frozen(eq=False)
class Shape:
    """One outline in one turn: the cells (w, h) that it fills, half of the distance to others included; and those of its own."""

    outline: int
    turn: float
    filled: Bools
    own: Bools


def cells_of(area: shapely.Geometry, x0: float, y0: float, shape: tuple[int, int], size: float) -> Bools:
    """Which cells of a grid from (x0, y0) an area fills, in part or all."""
    x, y = x0 + np.arange(shape[0]) * size, y0 + np.arange(shape[1]) * size
    shapely.prepare(area)
    # blocks of cells first: most of a grid lies in blocks that the area fills or does not meet
    i, j = (np.arange(0, n, BLOCK) for n in shape)
    ends = [v[np.minimum(k + BLOCK, len(v)) - 1] + size for v, k in ((x, i), (y, j))]
    blocks = shapely.box(*np.meshgrid(x[i], y[j], indexing="ij"), *np.meshgrid(*ends, indexing="ij"))
    meets = np.asarray(shapely.intersects(area, blocks))
    full = np.zeros_like(meets)
    full[meets] = shapely.covers(area, blocks[meets])
    out, edge = (one.repeat(BLOCK, 0).repeat(BLOCK, 1)[: shape[0], : shape[1]] for one in (full, meets & ~full))
    k, m = np.nonzero(edge)
    out[k, m] = shapely.intersects(area, shapely.box(x[k], y[m], x[k] + size, y[m] + size))
    return out


def shape_of(outline: shapely.Polygon, index: int, turn: float, half: float, size: float) -> Shape:
    """An outline turned, and widened by half the distance that pieces keep."""
    turned = affinity.rotate(outline, turn, origin=(0, 0))
    x0, y0, x1, y1 = turned.bounds
    wide = shapely.buffer(turned, half - HAIR, quad_segs=16)
    w, h = (max(1, math.ceil((b - a + 2 * half) / size - HAIR)) for a, b in ((x0, x1), (y0, y1)))
    filled, own = (cells_of(one, x0 - half, y0 - half, (w, h), size) for one in (wide, shapely.buffer(turned, -HAIR)))
    return Shape(index, turn, filled, own)


def unlike(outline: shapely.Polygon, turns: tuple[float, ...]) -> list[float]:
    """The turns in which an outline looks different: a disc or a square need not be tried in all."""
    out: list[tuple[float, shapely.Polygon]] = []
    for turn in turns:
        turned = affinity.rotate(outline, turn, origin=(0, 0))
        turned = affinity.translate(turned, *(-v for v in turned.bounds[:2]))
        if all(shapely.area(shapely.symmetric_difference(turned, one)) > 1e-3 * outline.area for _, one in out):
            out.append((turn, turned))
    return [turn for turn, _ in out]


def _quick(shape: tuple[int, ...]) -> tuple[int, ...]:
    """The next numbers of cells that have no prime factor above 5: a transform of others takes several times as long."""

    def smooth(n: int) -> bool:
        for prime in (2, 3, 5):
            while n % prime == 0:
                n //= prime
        return n == 1

    return tuple(next(k for k in count(max(n, 1)) if smooth(k)) for n in shape)


def forbidden(shape: Shape, blocked: Bools) -> Bools:
    """Places of a shape's first cell (nx, ny) where it leaves the grid, or has a blocked cell of its own."""
    n = blocked.shape
    out = np.ones(n, np.bool_)
    nx, ny = (a - b + 1 for a, b in zip(n, shape.filled.shape))
    if nx > 0 and ny > 0:
        meets = np.zeros(n, np.bool_)
        if blocked.any():
            size = _quick(n)
            product = np.fft.rfft2(blocked, size) * np.conj(np.fft.rfft2(shape.own, size))
            meets = np.fft.irfft2(product, size)[: n[0], : n[1]] > 0.5
        out[:nx, :ny] = meets[:nx, :ny]
    return out


@define(eq=False)
class Stamps:
    """For two shapes, how many cells both fill where the second is moved against the first: made when first asked."""

    shapes: list[Shape]
    _made: dict[tuple[int, int], NDArray[np.int32]] = field(factory=dict)
    _turned: dict[tuple[int, bool], NDArray[np.complex128]] = field(factory=dict)

    def __call__(self, a: int, b: int) -> NDArray[np.int32]:
        """(wa + wb - 1, ha + hb - 1): the last cell of `b` on the first of `a`, and so on."""
        if (a, b) not in self._made:
            one, other = self.shapes[a].filled.shape, self.shapes[b].filled.shape
            whole = np.fft.irfft2(self._of(a, False) * self._of(b, True), self._size())
            self._made[a, b] = np.rint(whole[: one[0] + other[0] - 1, : one[1] + other[1] - 1]).astype(np.int32)
        return self._made[a, b]

    def _size(self) -> tuple[int, ...]:
        w, h = np.max([s.filled.shape for s in self.shapes], axis=0).tolist()
        return _quick((2 * w, 2 * h))

    def _of(self, k: int, reverse: bool) -> NDArray[np.complex128]:
        if (k, reverse) not in self._turned:
            filled = self.shapes[k].filled
            self._turned[k, reverse] = np.fft.rfft2(filled[::-1, ::-1] if reverse else filled, self._size())
        return self._turned[k, reverse]

    def shared(self, a: int, b: int, at: Ints) -> int:
        """Cells that both fill, `b` moved by `at` (2,) against `a`."""
        stamp = self(a, b)
        x, y = (int(d) + n - 1 for d, n in zip(at, self.shapes[b].filled.shape))
        return int(stamp[x, y]) if 0 <= x < stamp.shape[0] and 0 <= y < stamp.shape[1] else 0
