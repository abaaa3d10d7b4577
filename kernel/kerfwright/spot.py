"""What one operation works on, on one piece: the data that an operation's ways and its taking both start from."""

from __future__ import annotations

from collections.abc import Mapping

import shapely
from attrs import define

from kerfwright.curve import Curve
from kerfwright.drawing import Loop
from kerfwright.setup import Piece, Setup, Work

__all__ = ["Spot", "spots"]


@define(frozen=True, eq=False)
class Spot:
    """Program coordinates, mm. Depths count down from the sheet's top.

    `loops` are those of the piece that the operation selects, `indices` their places in `piece.loops`. `made`: loops of the
    piece that the job cuts through, by any operation, and on which side: outside, inside or line. `lines`: open lines of its
    drawing that the operation selects, where the piece has them.
    `thickness` is the depth of the sheet's underside, at its thinnest where that is known.
    """

    piece: Piece
    loops: tuple[Loop, ...]
    indices: tuple[int, ...]
    made: Mapping[int, str]
    thickness: float
    stock: shapely.Polygon
    keepouts: tuple[shapely.Polygon, ...]
    lines: tuple[Curve, ...] = ()


def spots(setup: Setup, work: Work) -> list[Spot]:
    """One for each piece that an operation works on."""
    out = []
    for piece in setup.pieces:
        mine = tuple(k for p, k in work.loops if p == piece.index)
        lines = tuple(piece.placed(line.curve) for p, line in work.lines if p == piece.index)
        if not mine and not lines and not work.operation.on(piece.part):
            continue
        loops = tuple(piece.loops[k] for k in mine)
        made = {
            k: w.waste(piece.loops[k])
            for w in setup.works
            if w.operation.through
            for p, k in w.loops
            if p == piece.index
        }
        thickness = setup.heights.top - setup.heights.underside
        keepouts = tuple(area for area, _ in setup.keepouts)
        out.append(Spot(piece, loops, mine, made, thickness, setup.stock, keepouts, lines))
    return out
