"""The faces between the loops of one piece, and which of them stay."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.setup import Piece
from kerfwright.shrinking import grown, opened, shrunk

__all__ = ["Faces", "around", "even_odd"]


@define(frozen=True, eq=False)
class Faces:
    """A face lies inside one loop and outside the loops nested in it. It is waste where a loop around it says `inside`, or
    one in it says `outside`. A loop with no side is no wall: the faces on both its sides are one.

    `sides`: loop -> outside, inside or line, of the loops that are cut through.
    """

    piece: Piece
    polygons: Any
    sides: dict[int, str]

    def children(self, loop: int) -> list[int]:
        """Loops nested directly in a loop."""
        return [i for i, one in enumerate(self.piece.loops) if one.parent == loop]

    def face(self, loop: int) -> shapely.Polygon:
        """Inside a loop, outside its children."""
        inner = [self.polygons[i].exterior for i in self.children(loop)]
        return shapely.Polygon(self.polygons[loop].exterior, inner) if inner else self.polygons[loop]

    def _group(self, loop: int) -> int:
        """The loop that stands for all faces that are one with this one."""
        while loop >= 0 and loop not in self.sides and self.piece.loops[loop].parent >= 0:
            loop = self.piece.loops[loop].parent
        return loop

    def keep(self, margin: float) -> shapely.Geometry:
        """All that stays. Where an outermost loop is an opening in the sheet, `margin` (mm) of the sheet around it too."""
        loops = self.piece.loops
        waste = {self._group(i) for i, side in self.sides.items() if side == "inside"}
        waste |= {
            self._group(loops[i].parent) for i, side in self.sides.items() if side == "outside" and loops[i].parent >= 0
        }
        kept = [i for i in range(len(loops)) if self._group(i) not in waste]
        roots = [i for i in kept if self._group(i) == i]
        if len(roots) == 1 and len(kept) == 1:
            out = self.face(kept[0])
        else:
            out = shapely.union_all([self.face(i) for i in kept]) if kept else shapely.Polygon()
        openings = [i for i, side in self.sides.items() if side == "inside" and loops[i].parent < 0]
        if openings:
            around = [shapely.difference(grown(self.polygons[i], margin), self.polygons[i]) for i in openings]
            out = shapely.union_all([out, *around])
        return out

    def wall(self, loop: int, side: str, radius: float, left: float = 0.0) -> Any:
        """What of a loop's wall, or of what is `left` before it (mm), a round cutter on its waste side can reach: closed
        rings.
        """
        around = loop if side == "inside" else self.piece.loops[loop].parent
        if around < 0 or (side == "outside" and self.sides.get(around) != "inside"):
            x0, y0, x1, y1 = self.polygons[loop].bounds
            m = 4 * (radius + left)
            room = shapely.box(x0 - m, y0 - m, x1 + m, y1 + m)
            rings = _rings(opened(_clear(shapely.difference(room, self.polygons[loop]), left), radius))
            return rings[shapely.bounds(rings)[:, 0] > x0 - m / 2]
        islands = [i for i in self.children(around) if self.sides.get(i) == "outside"]
        open_ = shapely.Polygon(self.polygons[around].exterior, [self.polygons[i].exterior for i in islands])
        rings = _rings(opened(_clear(open_, left), radius))
        if not islands:
            return rings
        others = shapely.union_all([self.polygons[i].exterior for i in [around, *islands] if i != loop])
        points = shapely.get_point(rings, 0)
        mine = shapely.distance(points, self.polygons[loop].exterior) <= shapely.distance(points, others)
        return rings[mine]


def _clear(area: shapely.Geometry, left: float) -> shapely.Geometry:
    return shrunk(area, left) if left else area


def _rings(area: shapely.Geometry) -> Any:
    parts = shapely.get_parts(area)
    parts = parts[(shapely.get_type_id(parts) == 3) & ~shapely.is_empty(parts)]
    return shapely.get_rings(parts) if len(parts) else np.zeros(0, object)


def even_odd(piece: Piece, polygons: Any, loops: list[int]) -> shapely.Geometry:
    """The even-odd area of some loops of a piece, which neither cross nor touch: put together, not computed."""
    near = {i: _above(piece, i, set(loops)) for i in loops}
    depth: dict[int, int] = {}
    for i in sorted(loops, key=lambda i: piece.loops[i].depth):
        depth[i] = 0 if near[i] < 0 else depth[near[i]] + 1
    shells = [i for i in loops if depth[i] % 2 == 0]
    made = [
        shapely.Polygon(polygons[i].exterior, [polygons[k].exterior for k in loops if near[k] == i]) for i in shells
    ]
    return made[0] if len(made) == 1 else shapely.MultiPolygon(made)


def _above(piece: Piece, loop: int, among: set[int]) -> int:
    """The nearest loop around this one that is among some; -1 for none."""
    while (loop := piece.loops[loop].parent) >= 0:
        if loop in among:
            return loop
    return -1


def around(piece: Piece, loop: int, among: set[int]) -> int:
    """How many of some loops lie around a loop of a piece."""
    count = 0
    while (loop := _above(piece, loop, among)) >= 0:
        count += 1
    return count
