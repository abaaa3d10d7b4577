"""Distances of the centers of holes: a sensible few, never all pairs.

Of the rows of holes along X the front one, the back one and that of most holes: from its first hole to its last. The row
of most holes also from its first hole to the next, where it has three or more. The same along Y. Last both diagonals,
between the holes farthest towards opposite corners. More tells nothing that these do not (our choice).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from attrs import frozen

from kerfwright.drawing import RoundHole
from kerfwright.inspecting.size import Size

__all__ = ["distances"]

IN_LINE = 0.01
"""Centers that are off by less (mm) lie in one row."""
MOST_PIECES = 4


@frozen
class _Hole:
    loop: int
    x: float
    y: float


def distances(holes: Sequence[tuple[int, int, RoundHole]]) -> list[Size]:
    """Of holes (index of the outline, of the one around it, circle). Holes of different pieces are not compared."""
    of: dict[int, list[_Hole]] = {}
    for loop, around, hole in holes:
        mine = of.setdefault(around, [])
        if all(math.hypot(hole.x - h.x, hole.y - h.y) > IN_LINE for h in mine):
            mine.append(_Hole(loop, hole.x, hole.y))
    most = sorted(of.values(), key=lambda some: -len(some))[:MOST_PIECES]
    return [_between(a, b) for some in most for a, b in _pairs(some)]


def _pairs(some: list[_Hole]) -> list[tuple[_Hole, _Hole]]:
    out: list[tuple[_Hole, _Hole]] = []
    for lines in (_lines([(h.y, h.x, h) for h in some]), _lines([(h.x, h.y, h) for h in some])):
        if not lines:
            continue
        longest = max(lines, key=len)
        for line in [v for v in lines if v in (lines[0], lines[-1], longest)]:
            out.append((line[0], line[-1]))
        if len(longest) > 2:
            out.append((longest[0], longest[1]))
    for sign in (1, -1):
        far = sorted(some, key=lambda h: (round(h.x + sign * h.y, 6), h.loop))
        if len(far) > 1 and far[0].x != far[-1].x:
            out.append((far[0], far[-1]))
    return list({frozenset((a.loop, b.loop)): (a, b) for a, b in reversed(out)}.values())[::-1]


def _lines(some: list[tuple[float, float, _Hole]]) -> list[list[_Hole]]:
    """Rows of two or more holes, by where they lie, each in order."""
    rows: list[list[tuple[float, float, _Hole]]] = []
    for one in sorted(some, key=lambda v: v[:2]):
        if rows and one[0] - rows[-1][0][0] < IN_LINE:
            rows[-1].append(one)
        else:
            rows.append([one])
    return [[h for _, _, h in sorted(row, key=lambda v: v[1])] for row in rows if len(row) > 1]


def _between(a: _Hole, b: _Hole) -> Size:
    dx, dy = b.x - a.x, b.y - a.y
    along = 0.0 if abs(dy) < IN_LINE else 90.0 if abs(dx) < IN_LINE else math.degrees(math.atan2(dy, dx)) % 180
    return Size("centers", "centers", math.hypot(dx, dy), along, ((a.x, a.y), (b.x, b.y)), (a.loop, b.loop))
