"""Where the copies of a draft lie: one place, a grid, or nested on sheets that are large enough."""

from __future__ import annotations

import math

from attrs import frozen

from kerfwright.drafting.wish import Wish
from kerfwright.drafting.wording import num
from kerfwright.placing.laying import MARGIN

__all__ = ["Layout", "laid_out"]

MORE = 1.3
"""So many times the area of all boxes around the copies has the sheet that a draft names for nesting (from memory)."""


@frozen
class Layout:
    """Lines of the part, and the sheet's size where the layout needs one (mm)."""

    rows: tuple[str, ...] = ()
    size: tuple[float, float] | None = None


def laid_out(wish: Wish, width: float, depth: float, kerf: float) -> Layout:
    """One copy where the job puts it; more in the most even grid of just so many that the machine reaches, else nested."""
    if wish.count == 1:
        return Layout()
    gap = max(8.0, round(2 * kerf + 4, 1))  # each outline has its own kerf, and some sheet between for bridges
    reach = wish.machine.travel or (math.inf, math.inf)
    room = 2 * (MARGIN + kerf)
    fitting = []
    for columns in range(1, wish.count + 1):
        rows, rest = divmod(wish.count, columns)
        x, y = columns * (width + gap) - gap, rows * (depth + gap) - gap
        if not rest and x + room <= reach[0] and y + room <= reach[1]:
            fitting.append((max(x / y, y / x), columns, rows))
    if fitting:
        _, columns, rows = min(fitting)
        return Layout((f"    layout: {{grid: {{columns: {columns}, rows: {rows}, gap: {num(gap)}}}}}",))
    side = math.sqrt(MORE * wish.count * (width + gap) * (depth + gap)) + 2 * gap
    long = max(side, width + 4 * gap, depth + 4 * gap)
    size = (min(math.ceil(long / 10) * 10.0, reach[0]), min(math.ceil(long / 10) * 10.0, reach[1]))
    return Layout((f"    layout: {{nest: {{count: {wish.count}, gap: {num(gap / 2)}}}}}",), size)
