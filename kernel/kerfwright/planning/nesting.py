"""All loops of a sheet as one nesting: which loop lies in which, across pieces, and which of them are openings."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.drawing import Loop
from kerfwright.setup import Piece, Setup, Work

__all__ = ["Nest"]


@define(frozen=True, eq=False, slots=False)
class Nest:
    """The loops of a sheet in rows, pieces in order and each piece's loops in the order of its drawing.

    areas (n,) what each loop surrounds, filled · parent (n,) the row of the loop around it, another piece's too, -1 for
    none · open_ (n,) what lies just inside is taken out by some through cut, so that a cutter's center may go there.
    """

    setup: Setup
    first: tuple[int, ...]
    """Row of each piece's first loop."""
    loops: tuple[Loop, ...]
    pieces: Ints
    areas: Floats
    parent: Ints
    open_: Bools

    @classmethod
    def of(cls, setup: Setup) -> Nest:
        """Worked out from positions; copies of a piece share their shapes."""
        first = np.cumsum([0, *[len(p.loops) for p in setup.pieces]])
        loops = tuple(one for p in setup.pieces for one in p.loops)
        pieces = np.repeat(np.arange(len(setup.pieces)), np.diff(first))
        areas = _areas(setup.pieces)
        parent = _parents(loops, pieces, first, areas)
        row = {(p.index, k): int(f) + k for p, f in zip(setup.pieces, first, strict=False) for k in range(len(p.loops))}
        open_ = _open(setup.works, loops, pieces, first, row)
        return cls(setup, tuple(int(f) for f in first[:-1]), loops, pieces, areas, parent, open_)

    @cached_property
    def position(self) -> dict[int, int]:
        """Where a piece stands in `setup.pieces`, by its index."""
        return {p.index: k for k, p in enumerate(self.setup.pieces)}

    def row(self, key: tuple[int, int]) -> int:
        """Row of (piece index, loop index)."""
        return self.first[self.position[key[0]]] + key[1]

    def around(self, row: int) -> list[int]:
        """Rows of all loops around one, the nearest first."""
        out = []
        while (row := int(self.parent[row])) >= 0:
            out.append(row)
        return out

    def islands(self, rows: Sequence[int]) -> dict[int, list[int]]:
        """The even-odd area of loops, piece by piece: rows of outlines, each with the rows of what it leaves standing."""
        chosen = set(rows)
        out: dict[int, list[int]] = {}
        for row in rows:
            around = [k for k in self.around(row) if k in chosen and self.pieces[k] == self.pieces[row]]
            if len(around) % 2 == 0:
                out.setdefault(row, [])
            else:
                out.setdefault(around[0], []).append(row)
        return out

    @cached_property
    def solid(self) -> Ints:
        """Rows of loops with material of a part inside and none outside: what no cut may enter."""
        outside = np.where(self.parent < 0, True, self.open_[self.parent])
        return np.flatnonzero(~self.open_ & outside)

    def label(self, row: int) -> str:
        """What a loop is and where, for messages (program coordinates)."""
        piece, loop = self.setup.pieces[self.pieces[row]], self.loops[row]
        hole = loop.circle
        x0, y0, x1, y1 = loop.curve.bounds
        what = (
            f"circle of {hole.diameter:.3f} mm at ({hole.x:.3f}, {hole.y:.3f})"
            if hole
            else f"outline of {x1 - x0:.3f} x {y1 - y0:.3f} mm at ({x0:.3f}, {y0:.3f})"
        )
        return f"part {piece.part!r} copy {piece.copy}, {what}"


def _areas(pieces: Sequence[Piece]) -> Floats:
    """Polygon of every loop; those of a copy are the first one's, shifted."""
    seen: dict[tuple[object, ...], tuple[Floats, Floats]] = {}
    out: list[Floats] = []
    for p in pieces:
        start = p.loops[0].curve.nodes[0, :2] if p.loops else np.zeros(2)
        key = (p.part, p.turn, *[len(one.curve) for one in p.loops])
        if key in seen and _alike(p, seen[key][1] - start, seen[key][0]):
            shift = start - seen[key][1]
            out.append(shapely.transform(seen[key][0], lambda xy, d=shift: xy + d))
            continue
        areas = np.empty(len(p.loops), object)
        areas[:] = [one.curve.polygon() for one in p.loops]
        seen.setdefault(key, (areas, start))
        out.append(areas)
    return np.concatenate(out) if out else np.empty(0, object)


def _alike(piece: Piece, back: Floats, areas: Floats) -> bool:
    """Whether a piece's loops lie where the shifted areas begin."""
    here = np.array([one.curve.nodes[0, :2] for one in piece.loops]) + back
    there = shapely.get_coordinates(shapely.get_point(shapely.get_exterior_ring(areas), 0))
    return bool(np.abs(here - there).max(initial=0) < 1e-6)


def _parents(loops: Sequence[Loop], pieces: Ints, first: Ints, areas: Floats) -> Ints:
    own = np.array([one.parent for one in loops], np.int64)
    parent = np.where(own >= 0, own + first[pieces] if len(pieces) else 0, -1)
    top = np.flatnonzero(own < 0)
    if len(top) < 2:
        return parent
    at = shapely.points([loops[k].curve.start[:2] for k in top.tolist()])
    inner, outer = shapely.STRtree(areas).query(at, predicate="within")
    size = shapely.area(areas)
    for i in np.unique(inner):
        around = outer[inner == i]
        around = around[(pieces[around] != pieces[top[i]]) & (size[around] > size[top[i]])]
        if len(around):
            parent[top[i]] = around[np.argmin(size[around])]
    return parent


def _open(
    works: Sequence[Work], loops: Sequence[Loop], pieces: Ints, first: Ints, row: dict[tuple[int, int], int]
) -> Bools:
    """From what the through cuts take out; a loop that none of them works on is like what is around it in its piece."""
    said: dict[int, bool] = {}
    for work in works:
        if not work.operation.pierces:
            continue
        rows = [row[key] for key in work.loops]
        if work.operation.kind == "pocket":
            inside = set(rows)
            for r in rows:
                count, up = 1, r
                while (up := _up(loops, pieces, first, up)) >= 0:
                    count += up in inside
                said.setdefault(r, count % 2 == 1)
            continue
        for r in rows:
            side = work.waste(loops[r]) if hasattr(work.operation, "waste") else "inside"
            if side != "line":
                said[r] = said.get(r, True) and side == "inside"
    out = np.zeros(len(loops), bool)
    for k in np.argsort([one.depth for one in loops], kind="stable").tolist():
        up = _up(loops, pieces, first, k)
        out[k] = said.get(k, bool(out[up]) if up >= 0 else False)
    return out


def _up(loops: Sequence[Loop], pieces: Ints, first: Ints, row: int) -> int:
    up = loops[row].parent
    return -1 if up < 0 else int(first[pieces[row]]) + up
