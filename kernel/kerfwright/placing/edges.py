"""The sheet's edge: a piece is held by sheet that stands all around its kerf."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from kerfwright.operation import Profile
from kerfwright.setup import Piece, Work

__all__ = ["edge_faults"]

GRIP_THE_SHEET = ("screws", "frame")
"""Holds that keep the sheet, and a piece only through the sheet around it."""


def edge_faults(
    hold: str, stock: shapely.Polygon, pieces: Sequence[Piece], works: Sequence[Work]
) -> list[tuple[str, str]]:
    """Faults (path, message) where the kerf around a piece runs off the sheet under a hold that grips the sheet: beyond
    the edge nothing stands that a bridge could hold to, and a frame lies there.
    """
    if hold not in GRIP_THE_SHEET:
        return []
    x0, y0, x1, y1 = stock.bounds
    faults = []
    for work in works:
        if not isinstance(work.operation, Profile) or not work.operation.pierces:
            continue
        wide = work.operation.cutter.cuts + work.operation.allowance.side
        for p, k in work.loops:
            loop, piece = pieces[p].loops[k], pieces[p]
            if loop.depth or work.waste(loop) != "outside":
                continue
            a0, b0, a1, b1 = loop.curve.bounds
            short = max(x0 - a0, y0 - b0, a1 - x1, b1 - y1) + wide
            if 0 <= short <= wide:  # a piece that itself lies beyond the edge is told as such
                faults.append(
                    (
                        work.path,
                        f"the kerf around part {piece.part!r} copy {piece.copy} reaches {short:.4g} mm beyond the sheet's edge, "
                        f"where hold {hold!r} finds no sheet for bridges; allowed: more than {wide:g} mm from every edge",
                    )
                )
    return faults
