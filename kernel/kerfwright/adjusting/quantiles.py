"""Quantiles of Student's t and of chi-square for whole degrees of freedom, from their finite sums.

Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (t), 26.4.4 and 26.4.5 (chi-square),
from memory; the tests compare them with a library.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from statistics import NormalDist

__all__ = ["chi_square_above", "student"]


@lru_cache(maxsize=256)
def student(level: float, freedom: int | None) -> float:
    """Factor that `level` (0 to 1) of a t distribution lies within, both sides. `freedom` None: the normal distribution.

    >>> round(student(0.95, None), 3), round(student(0.95, 4), 3)
    (1.96, 2.776)
    """
    if freedom is None:
        return NormalDist().inv_cdf((1 + level) / 2)
    return _where(lambda t: _within(t, freedom), level)


def _within(t: float, freedom: int) -> float:
    """Probability of lying within -t and t."""
    angle = math.atan(t / math.sqrt(freedom))
    square, sine = math.cos(angle) ** 2, math.sin(angle)
    odd = freedom % 2
    term = math.cos(angle) if odd else 1.0
    total = term if freedom > 1 else 0.0
    for k in range(3 if odd else 2, freedom - 1, 2):
        term *= (k - 1) / k * square
        total += term
    return 2 / math.pi * (angle + sine * total) if odd else sine * total


def chi_square_above(value: float, freedom: int) -> float:
    """Probability that chi-square exceeds a value.

    >>> round(chi_square_above(9.488, 4), 4)
    0.05
    """
    half = value / 2
    if freedom % 2 == 0:
        term = total = math.exp(-half)
        for k in range(1, freedom // 2):
            term *= half / k
            total += term
        return total
    total, term = math.erfc(math.sqrt(half)), math.exp(-half) * math.sqrt(half) * 2 / math.sqrt(math.pi)
    for k in range(1, freedom // 2 + 1):
        total += term
        term *= half / (k + 0.5)
    return total


def _where(rising: Callable[[float], float], level: float) -> float:
    """Where a rising function reaches a level, by halving."""
    low, high = 0.0, 1.0
    while rising(high) < level and high < 1e12:
        low, high = high, high * 2
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < level else (low, middle)
    return (low + high) / 2
