"""How deep each of equal strokes goes."""

from __future__ import annotations

import math

import numpy as np

from kerfwright.arrays import Floats

__all__ = ["pecks"]


def pecks(top: float, bottom: float, depth: float) -> Floats:
    """Z of each stroke's bottom, (n,): as few as reach from `top` to exactly `bottom` with none deeper than `depth`.

    >>> pecks(2.0, -0.5, 1.0).round(3).tolist()
    [1.167, 0.333, -0.5]
    """
    n = max(1, math.ceil((top - bottom) / depth - 1e-9))
    z = top + (bottom - top) * np.arange(1, n + 1) / n
    z[-1] = bottom
    return z
