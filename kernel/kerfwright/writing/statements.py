"""A way as statements of cutter location data: FEDRAT, RAPID, CIRCLE, GOTO, each on its line."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Bools, Ints
from kerfwright.writing.roundedarc import RoundedArcs
from kerfwright.writing.wordtext import Column, render

__all__ = ["statements"]

WORDS = (
    (b"f", b"FEDRAT/"), (b" m0", b",PERMIN"), (b"r0", b"RAPID"),
    (b"c", b"CIRCLE/"), (b" d", b","), (b" e", b","), (b" k", b",0,0,"), (b" q", b","),
    (b"x", b"GOTO/"), (b" y", b","), (b" z", b","),
)  # fmt: skip
"""What stands for a letter that the columns have; small letters, so that no word holds one."""


def statements(
    ends: Ints, starts: Ints, arcs: RoundedArcs, turns: Ints, feeds: Ints, feed_said: Bools, places: tuple[int, int]
) -> str:
    """n moves. `ends`, `starts` (n, 3) in digits; `turns` (n,) 1, -1 or 0; `feeds` (n,) in digits, 0 is rapid; `feed_said` (n,)
    where it is stated; `places`: decimals of lengths and feeds.
    """
    some = np.column_stack([feed_said, feeds == 0, arcs.arc, np.ones(len(ends), np.bool_)])
    row, what = np.nonzero(some)
    long, slow = places
    center = starts[:, :2] + arcs.centers

    def column(letter: str, values: Ints, which: int, decimals: int = 0) -> Column:
        return Column(letter, values[row], what == which, decimals)

    none = np.zeros(len(ends), np.int64)
    text = render(
        [
            column("f", feeds, 0, slow),
            column("m", none, 0),
            column("r", none, 1),
            column("c", center[:, 0], 2, long),
            column("d", center[:, 1], 2, long),
            column("e", starts[:, 2], 2, long),
            column("k", turns, 2),
            column("q", arcs.radii, 2, long),
            *(column(letter, ends[:, i], 3, long) for i, letter in enumerate("xyz")),
        ]
    )
    for letter, word in WORDS:
        text = text.replace(letter, word)
    return text.decode("ascii")
