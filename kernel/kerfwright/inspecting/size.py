"""One size of a drawing, between two points."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from attrs import frozen

__all__ = ["MOST_ALIKE", "Point", "Size", "few"]

MOST_ALIKE = 8
"""Of sizes that are alike this many are measured (our choice)."""

Point = tuple[float, float]
T = TypeVar("T")


@frozen
class Size:
    """Lengths in mm, drawing coordinates. `kind` as in `Measured`; `noun` says what it is of; `along` in degrees from the
    drawing's X, 0 up to 180.

    `ends` are the points that it lies between, `loops` the indices of the outlines it is of. `alike` counts the sizes of the
    part that are the same, this one with them. Not `square`: an end is a corner or a curve of chords, which moves
    otherwise than a wall does when the cutter is off, so that nothing is told from it.
    """

    kind: str
    noun: str
    nominal: float
    along: float
    ends: tuple[Point, Point]
    loops: tuple[int, ...]
    alike: int = 1
    square: bool = True

    @property
    def middle(self) -> Point:
        """Between its ends."""
        (x0, y0), (x1, y1) = self.ends
        return (x0 + x1) / 2, (y0 + y1) / 2

    @property
    def round(self) -> bool:
        """It is the diameter of a circle."""
        return self.noun in ("hole", "disc")


def few(some: Sequence[T]) -> list[T]:
    """At most `MOST_ALIKE`, evenly picked, the first and the last among them.

    >>> few("abcdefghijkl")
    ['a', 'c', 'd', 'f', 'g', 'i', 'j', 'l']
    """
    if len(some) <= MOST_ALIKE:
        return list(some)
    return [some[k] for k in np.floor(np.linspace(0, len(some) - 1, MOST_ALIKE) + 0.5).astype(int).tolist()]
