"""The areas inside the outlines of all pieces, as shapely polygons: one flattening for all copies of a part."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from kerfwright.setup import Piece

__all__ = ["Shapes", "shapes_of"]

Shapes: TypeAlias = list[NDArray[np.object_]]
"""`shapes[piece][loop]` is a polygon in program coordinates."""


def shapes_of(pieces: Sequence[Piece]) -> Shapes:
    """Polygons of every loop of every piece, chords within 0.0005 mm. Copies share what their curves turn by."""
    first: dict[tuple[float, ...], tuple[Piece, NDArray[np.object_]]] = {}
    out: Shapes = []
    for piece in pieces:
        key = (piece.turn, *(id(v.curve.turns) for v in piece.loops))
        if key not in first:
            first[key] = piece, np.array([v.curve.polygon() for v in piece.loops], object)
            out.append(first[key][1])
            continue
        like, base = first[key]
        shift = piece.loops[0].curve.start[:2] - like.loops[0].curve.start[:2]
        out.append(shapely.transform(base, lambda p, d=shift: p + d))
    return out
