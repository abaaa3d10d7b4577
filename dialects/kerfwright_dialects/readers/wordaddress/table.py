"""Plain lines of a text, all at once: those made of G0 to G3, X, Y, Z, I, J, F and N words, spelled without a space in a word.

This only sorts lines and parses numbers. A line that is anything else, or wrong, is not plain and is read word by word.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from attrs import define
from numpy.typing import NDArray

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright_dialects.readers.decimals import LONGEST, scaled
from kerfwright_dialects.readers.wordaddress.words import LARGEST

__all__ = ["Table", "table"]

Bytes: TypeAlias = NDArray[np.uint8]
COLUMNS = "GXYZIJFN"
PIECE = 1_000_000
"""Characters that are sorted together, for speed."""
_OTHER, _SPACE, _END, _LETTER, _DIGIT, _DOT, _SIGN = range(7)


@define(frozen=True, eq=False)
class Table:
    """`plain` (n,): line k is plain; `values` (8, n): the numbers of its words in the order of COLUMNS, nan where it has none."""

    plain: Bools
    values: Floats


def _kinds() -> tuple[Bytes, Ints]:
    kind, column = np.zeros(256, np.uint8), np.zeros(256, np.int64)
    for characters, what in ((" \t", _SPACE), ("\n", _END), ("0123456789", _DIGIT), (".", _DOT), ("+-", _SIGN)):
        kind[[ord(c) for c in characters]] = what
    for k, letter in enumerate(COLUMNS):
        for c in (letter, letter.lower()):
            kind[ord(c)], column[ord(c)] = _LETTER, k
    return kind, column


def table(text: str, longest: int, digits: int = 5) -> Table:
    """Of a text whose lines all end in a line feed; piece by piece, so that what is at work stays near."""
    parts: list[Table] = []
    at = 0
    while at < len(text) or not parts:
        end = text.find("\n", at + PIECE) + 1 or len(text)
        parts.append(_table(text[at:end], longest, digits))
        at = end
    return Table(np.concatenate([p.plain for p in parts]), np.concatenate([p.values for p in parts], axis=1))


def _table(text: str, longest: int, digits: int) -> Table:
    kinds, columns = _kinds()
    data = np.frombuffer(text.encode("ascii", "replace"), np.uint8)
    kind = kinds[data]
    ends = np.flatnonzero(kind == _END)
    plain = _well_formed(kind, ends) & (np.diff(ends, prepend=-1) - 1 <= longest)
    values = np.full((len(COLUMNS), len(ends)), np.nan)
    if not plain.any():
        return Table(plain, values)
    if not plain.all():  # only words of plain lines go on
        keep = np.repeat(plain, np.diff(ends, prepend=-1))
        kind = np.where(keep, kind, np.uint8(_SPACE))
    letters = np.flatnonzero(kind == _LETTER)
    if not len(letters):
        return Table(plain, values)
    numbers, exact = _numbers(data, kind, letters)
    bounds = np.searchsorted(letters, ends)
    count = np.diff(bounds, prepend=0)
    line, column = np.repeat(np.arange(len(ends)), count), columns[data[letters]]
    values[column, line] = numbers

    plain[line[~(exact & (np.abs(numbers) < LARGEST))]] = False
    code, feed = values[0], values[6]
    plain[(code < 0) | (code > 3) | (code != np.floor(code)) & ~np.isnan(code) | (feed < 0)] = False
    named = np.flatnonzero(column == COLUMNS.index("N"))
    leading = (bounds - count)[line[named]] == named
    after = letters[named, None] + np.arange(1, digits + 2)  # a number of so many digits, and what follows it
    run = (kind[np.minimum(after, len(kind) - 1)] >= _DIGIT).argmin(axis=1)
    whole = (kind[np.minimum(after, len(kind) - 1)] == _DIGIT).argmin(axis=1) == run
    plain[line[named[~(leading & whole & (run > 0))]]] = False
    if np.count_nonzero(~np.isnan(values)) < len(numbers):  # a letter stands twice in some line
        index, owner = np.arange(len(numbers)), np.empty(values.shape, np.int64)
        owner[column, line] = index
        plain[line[owner[column, line] != index]] = False
    moves = ~np.isnan(values[1:4]).all(axis=0)
    plain[~moves & ~np.isnan(values[[0, 4, 5]]).all(axis=0)] = False
    return Table(plain, values)


def _numbers(data: Bytes, kind: Bytes, letters: Ints) -> tuple[Floats, Bools]:
    """The number behind each letter, and whether it has few enough digits for that to be exact."""
    digits = np.where((kind == _DIGIT) | (kind == _SIGN), data, np.uint8(ord(" ")))[kind != _DOT]
    numeric = kind >= _DIGIT
    ends = np.flatnonzero(numeric[:-1] & ~numeric[1:])
    dots = np.flatnonzero(kind == _DOT)
    decimals = np.zeros(len(letters), np.int64)
    owner = np.searchsorted(letters, dots) - 1
    decimals[owner] = ends[owner] - dots
    return scaled(np.fromstring(digits.tobytes(), np.int64, sep=" "), decimals), ends - letters <= LONGEST


def _well_formed(kind: Bytes, ends: Ints) -> Bools:
    """Which lines are letters each with one number right behind it, in the grammar of the document, and spaces between."""
    good = np.ones(len(ends), bool)

    def spoil(places: Ints) -> None:
        good[np.searchsorted(ends, places)] = False

    numeric = kind >= _DIGIT
    letters = np.flatnonzero(kind == _LETTER)
    edge = np.diff(numeric.view(np.int8), prepend=np.int8(0), append=np.int8(0))
    first, last = np.flatnonzero(edge == 1), np.flatnonzero(edge == -1) - 1
    signs, dots = np.flatnonzero(kind == _SIGN), np.flatnonzero(kind == _DOT)
    spoil(np.flatnonzero(kind == _OTHER))
    spoil(letters[~numeric[letters + 1]])
    spoil(first[kind[first - 1] != _LETTER])  # the first character has, by wrapping, the last line's end before it
    spoil(signs[kind[signs - 1] != _LETTER])
    spoil(first[(kind[first] != _DIGIT) & (kind[last] != _DIGIT) & (last - first <= 1)])  # no digit
    spoil(dots[1:][np.diff(np.searchsorted(letters, dots)) == 0])  # a second dot
    return good
