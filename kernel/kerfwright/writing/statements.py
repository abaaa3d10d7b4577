"""A way as statements of cutter location data: FEDRAT, RAPID, CIRCLE, GOTO, each on its line."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kerfwright.arrays import Bools, Ints
from kerfwright.writing.roundedarc import RoundedArcs
from kerfwright.writing.wordtext import Column, render

__all__ = ["statements"]


def statements(
    ends: Ints, starts: Ints, arcs: RoundedArcs, turns: Ints, feeds: Ints, feed_said: Bools, places: tuple[int, int]
) -> str:
    """n moves. `ends`, `starts` (n, 3) in digits; `turns` (n,) 1, -1 or 0; `feeds` (n,) in digits, 0 is rapid; `feed_said` (n,)
    where it is stated; `places`: decimals of lengths and feeds.
    """
    if not len(ends):
        return ""
    rapid, arc = feeds == 0, arcs.arc
    many = 1 + feed_said + rapid + arc
    last = np.cumsum(many) - 1  # line of each GOTO
    out = np.empty(int(last[-1]) + 1, object)
    long, slow = places
    out[last] = _lines("GOTO", [(v, long) for v in ends.T])
    out[last[rapid] - 1] = "RAPID"
    center = starts[arc, :2] + arcs.centers[arc]
    none = (np.zeros(np.count_nonzero(arc), np.int64), 0)
    circle = [*((v, long) for v in (*center.T, starts[arc, 2])), none, none, (turns[arc], 0), (arcs.radii[arc], long)]
    out[last[arc] - 1] = _lines("CIRCLE", circle)
    out[(last - many + 1)[feed_said]] = [f"{v},PERMIN" for v in _lines("FEDRAT", [(feeds[feed_said], slow)])]
    return "\n".join(out.tolist()) + "\n"


def _lines(word: str, values: Sequence[tuple[Ints, int]]) -> list[str]:
    """A statement for each row of numbers, each column with so many decimals."""
    rows = len(values[0][0])
    if not rows:
        return []
    on = np.ones(rows, np.bool_)
    columns = [Column("," if k else "/", v, on, decimals, tight=True) for k, (v, decimals) in enumerate(values)]
    text = render(columns).decode("ascii")
    return f"{word}{text[:-1]}".replace("\n", f"\n{word}").split("\n")
