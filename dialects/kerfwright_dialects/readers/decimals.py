"""Decimal numbers from whole ones: a parser of whole numbers is several times faster than one of all numbers."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Floats, Ints

__all__ = ["LONGEST", "scaled"]

LONGEST = 16
"""Most characters of a number, sign and point included: it has at most 15 digits then, which a double holds."""
_POWERS = 10.0 ** np.arange(LONGEST + 1)


def scaled(whole: Ints, decimals: Ints) -> Floats:
    """Numbers whose digits are `whole`, with so many behind the point: the nearest doubles, as whole and power are exact.

    >>> scaled(np.array([-5, 1250]), np.array([3, 0])).tolist()
    [-0.005, 1250.0]
    """
    out: Floats = whole / _POWERS[np.minimum(decimals, LONGEST)]
    return out
