"""Word-address text in bulk: columns of whole numbers to bytes, one line a row, with no Python loop over lines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from kerfwright.arrays import Bools, Ints

__all__ = ["Column", "fixed", "render"]

CHUNK = 1 << 13
"""Rows set at a time, so that their bytes stay in the cache."""

_DIGITS = (np.arange(10_000)[:, None] // [1000, 100, 10, 1] % 10 + ord("0")).astype(np.uint8)
_GROUPS: NDArray[np.uint32] = np.ascontiguousarray(_DIGITS).view(np.uint32).ravel()
_GROUPS.flags.writeable = False
"""The four digits of 0 to 9999 as ASCII, each packed in one number."""


class Column(NamedTuple):
    """One word of every row: its letter, the value (n,) in units of its last digit, and where it is written at all.

    `least` digits stand before the point, zeros in front: G01.
    """

    letter: str
    values: Ints
    keep: Bools
    decimals: int = 0
    least: int = 1
    tight: bool = False
    """No space before it."""


def fixed(value: int, decimals: int) -> str:
    """One number as `render` writes it.

    >>> fixed(-5, 3), fixed(0, 3), fixed(12, 0)
    ('-0.005', '0.000', '12')
    """
    whole, rest = divmod(abs(value), 10**decimals)
    return ("-" if value < 0 else "") + str(whole) + (f".{rest:0{decimals}d}" if decimals else "")


def render(columns: Sequence[Column]) -> bytes:
    """One line a row: the words kept, in the order of the columns, a space between them. Rows that keep none are left out.

    >>> on, off = np.array([True, True]), np.array([True, False])
    >>> render([Column("G", np.array([1, 1]), off), Column("X", np.array([10500, -5]), on, 3)])
    b'G1 X10.500\\nX-0.005\\n'
    >>> render([Column("G", np.array([1, 1]), off, least=2), Column("X", np.array([10500, -5]), on, 3)])
    b'G01 X10.500\\nX-0.005\\n'
    """
    rows = len(columns[0].values) if columns else 0
    return b"".join(
        _set([c._replace(values=c.values[a : a + CHUNK], keep=c.keep[a : a + CHUNK]) for c in columns])
        for a in range(0, rows, CHUNK)
    )


def _set(columns: Sequence[Column]) -> bytes:
    """One chunk: every word at full width, then one mask that leaves out what is not said."""
    some = [c for c in columns if c.keep.any()]
    if not some:
        return b""
    sizes = [np.abs(c.values) for c in some]
    wholes = [max(len(str(int(m.max()))) - c.decimals, c.least) for c, m in zip(some, sizes)]
    widths = [3 + w + (c.decimals + 1 if c.decimals else 0) for c, w in zip(some, wholes)]
    rows = len(some[0].values)
    text = np.empty((rows, sum(widths) + 1), np.uint8)
    said = np.empty(text.shape, np.bool_)
    begun = np.zeros(rows, np.bool_)
    at = 0
    for c, m, whole, width in zip(some, sizes, wholes, widths):
        point, end = at + 3 + whole, at + width
        text[:, at], text[:, at + 1], text[:, at + 2] = ord(" "), ord(c.letter), ord("-")
        said[:, at : at + 2] = c.keep[:, None]
        said[:, at] &= begun & (not c.tight)
        said[:, at + 2] = c.keep & (c.values < 0)
        said[:, at + 3 : end] = c.keep[:, None]
        small = m.astype(np.int32) if m.max() < 2**31 else m
        for k in range(whole - c.least):  # digits before the number begins
            said[:, at + 3 + k] &= small >= 10 ** (whole + c.decimals - 1 - k)
        digits = _digits(small, whole + c.decimals)
        text[:, at + 3 : point] = digits[:, :whole]
        if c.decimals:
            text[:, point] = ord(".")
            text[:, point + 1 : end] = digits[:, whole:]
        begun |= c.keep
        at = end
    text[:, -1] = ord("\n")
    said[:, -1] = begun
    return text[said].tobytes()


def _digits(values: NDArray[np.integer], count: int) -> NDArray[np.uint8]:
    """The last `count` digits of each value, zeros in front, (n, count)."""
    groups = -(-count // 4)
    out = np.empty((len(values), groups), np.uint32)
    for k in range(groups - 1, 0, -1):
        values, rest = np.divmod(values, 10_000)
        out[:, k] = _GROUPS[rest]
    out[:, 0] = _GROUPS[values]
    return out.view(np.uint8)[:, groups * 4 - count :]
