"""Single-stroke letters, drawn for this purpose: straight strokes on a grid, corners cut off, as a mill or a V cutter makes
them best. They are a drawing, so that an operation and its taking both start from them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from kerfwright.curve import Curve

__all__ = ["ALLOWED", "GLYPHS", "lettered", "unknown"]

TALL = 6
"""Grid units of a capital's height."""
GAP = 2
"""Grid units between two letters."""

GLYPHS: Mapping[str, tuple[int, str]] = MappingProxyType(
    {
        " ": (2, ""),
        "-": (3, "0,3 3,3"),
        ".": (1, "0,0 1,0 1,1 0,1 0,0"),
        "/": (3, "0,0 3,6"),
        "#": (4, "1,0 1,6/3,0 3,6/0,2 4,2/0,4 4,4"),
        "_": (4, "0,0 4,0"),
        "0": (4, "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,1 1,0/1,2 3,4"),
        "1": (2, "0,5 1,6 1,0/0,0 2,0"),
        "2": (4, "0,5 1,6 3,6 4,5 4,4 0,0 4,0"),
        "3": (4, "0,5 1,6 3,6 4,5 4,4 3,3 4,2 4,1 3,0 1,0 0,1/1,3 3,3"),
        "4": (4, "3,0 3,6 0,2 4,2"),
        "5": (4, "4,6 0,6 0,3 3,3 4,2 4,1 3,0 1,0 0,1"),
        "6": (4, "3,6 1,6 0,5 0,1 1,0 3,0 4,1 4,2 3,3 0,3"),
        "7": (4, "0,6 4,6 1,0"),
        "8": (4, "1,3 0,4 0,5 1,6 3,6 4,5 4,4 3,3 4,2 4,1 3,0 1,0 0,1 0,2 1,3 3,3"),
        "9": (4, "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,4 1,3 4,3"),
        "A": (4, "0,0 0,4 2,6 4,4 4,0/0,2 4,2"),
        "B": (4, "0,3 3,3 4,2 4,1 3,0 0,0 0,6 3,6 4,5 4,4 3,3"),
        "C": (4, "4,5 3,6 1,6 0,5 0,1 1,0 3,0 4,1"),
        "D": (4, "0,0 2,0 4,2 4,4 2,6 0,6 0,0"),
        "E": (4, "4,0 0,0 0,6 4,6/0,3 3,3"),
        "F": (4, "0,0 0,6 4,6/0,3 3,3"),
        "G": (4, "4,5 3,6 1,6 0,5 0,1 1,0 3,0 4,1 4,3 2,3"),
        "H": (4, "0,0 0,6/4,0 4,6/0,3 4,3"),
        "I": (2, "0,0 2,0/1,0 1,6/0,6 2,6"),
        "J": (4, "0,1 1,0 2,0 3,1 3,6/2,6 4,6"),
        "K": (4, "0,0 0,6/4,6 1,3 0,3/1,3 4,0"),
        "L": (4, "0,6 0,0 4,0"),
        "M": (4, "0,0 0,6 2,4 4,6 4,0"),
        "N": (4, "0,0 0,6 4,0 4,6"),
        "O": (4, "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,1 1,0"),
        "P": (4, "0,0 0,6 3,6 4,5 4,4 3,3 0,3"),
        "Q": (4, "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,1 1,0/2,2 4,0"),
        "R": (4, "0,0 0,6 3,6 4,5 4,4 3,3 0,3/2,3 4,0"),
        "S": (4, "0,1 1,0 3,0 4,1 4,2 3,3 1,3 0,4 0,5 1,6 3,6 4,5"),
        "T": (4, "0,6 4,6/2,6 2,0"),
        "U": (4, "0,6 0,1 1,0 3,0 4,1 4,6"),
        "V": (4, "0,6 2,0 4,6"),
        "W": (4, "0,6 1,0 2,3 3,0 4,6"),
        "X": (4, "0,0 4,6/0,6 4,0"),
        "Y": (4, "0,6 2,3 4,6/2,3 2,0"),
        "Z": (4, "0,6 4,6 0,0 4,0"),
    }
)
"""Width in grid units; strokes, each a run of grid points, parted by `/`."""

ALLOWED = "A to Z, 0 to 9, space, - . / # _"


def unknown(text: str) -> str:
    """The first character that has no strokes; nothing where all have. Small letters are written as capitals."""
    return next((c for c in text if c.upper() not in GLYPHS), "")


def lettered(text: str, x: float, y: float, height: float, turn: float = 0.0) -> list[Curve]:
    """Strokes of a text at Z 0, from left to right: its lower left corner at (x, y), capitals `height` mm tall, turned about
    that corner (degrees, counter-clockwise). Raises KeyError for a character that has no strokes.

    >>> [c.nodes[:, :2].tolist() for c in lettered("L", 1, 2, 6)]
    [[[1.0, 8.0], [1.0, 2.0], [5.0, 2.0]]]
    """
    unit, left, out = height / TALL, 0, []
    for one in text:
        wide, strokes = GLYPHS[one.upper()]
        for stroke in strokes.split("/") if strokes else []:
            points = np.array([p.split(",") for p in stroke.split()], float) + [left, 0]
            out.append(Curve.line(points * unit).rotated(turn).moved(x, y))
        left += wide + GAP
    return out
