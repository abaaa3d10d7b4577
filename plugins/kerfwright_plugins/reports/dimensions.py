"""Dimension lines with their tips and extension lines; those that stand beside a part, on levels. Y up."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kerfwright.inspecting.rows import Row
from kerfwright.inspecting.size import Size
from kerfwright_plugins.reports.balloons import Point
from kerfwright_plugins.reports.svgpath import number

__all__ = ["SIDES", "dimension", "line", "sides", "stacked"]

SIDES = ("below", "above", "left", "right")
STEP = 6.0
"""From level to level, in hundredths of the picture."""

Box = tuple[float, float, float, float]


def sides(sizes: Sequence[Size], box: Box) -> list[str]:
    """On which side of the part each stands: over all below and on the left; of rows of holes the front ones below, the back
    ones above, so that no extension line runs through another row; columns likewise. One row alone stands at the nearer side.
    """
    rows = [s for s in sizes if s.noun == "centers"]
    out = []
    for one in sizes:
        axis = int(one.along == 90)
        lie = [s.middle[1 - axis] for s in rows if s.along == one.along]
        alone = not lie or max(lie) - min(lie) < 1e-6
        middle = (box[1 - axis] + box[3 - axis]) / 2 if alone else (min(lie) + max(lie)) / 2
        out.append(SIDES[2 * axis + (one.noun == "centers" and one.middle[1 - axis] > middle + 1e-6)])
    return out


def stacked(rows: Sequence[Row], side: str, box: Box, k: float) -> tuple[list[str], list[tuple[Point, int]], float]:
    """Dimensions on one side of a part, the shortest nearest, as many on one level as do not meet.

    Gives what is drawn, where which number goes, and how far out it reaches (mm). `k` is a hundredth of the picture.
    """
    axis, far = divmod(SIDES.index(side), 2)
    edge, way = (box[3 - axis], 1.0) if far else (box[1 - axis], -1.0)
    levels: list[list[tuple[float, float]]] = []
    out: list[str] = []
    numbers: list[tuple[Point, int]] = []

    def point(along: float, across: float) -> Point:
        return (across, along) if axis else (along, across)

    for row in sorted(rows, key=lambda r: (r.size.nominal, r.number)):
        ends = sorted(row.size.ends, key=lambda p: p[axis])
        low, high = ends[0][axis], ends[1][axis]
        narrow = high - low < 9 * k
        span = (low - k, high + (7 * k if narrow else k))
        level = next((n for n, taken in enumerate(levels) if all(span[1] < a or span[0] > b for a, b in taken)), None)
        if level is None:
            level = len(levels)
            levels.append([])
        levels[level].append(span)
        at = edge + way * (level + 1) * STEP * k
        for end in ends:
            out.append(line(point(end[axis], end[1 - axis] + way * 0.8 * k), point(end[axis], at + way * 1.2 * k)))
        out.append(dimension(point(low, at), point(high, at), k))
        numbers.append((point(high + 4 * k if narrow else (low + high) / 2, at), row.number))
    return out, numbers, STEP * k * len(levels)


def line(a: Point, b: Point) -> str:
    """A narrow continuous line."""
    return f'<path class="dim" d="M{number(a[0])} {number(a[1])}L{number(b[0])} {number(b[1])}"/>'


def dimension(a: Point, b: Point, k: float) -> str:
    """A line with a slender tip at each end."""
    long = min(2.2 * k, math.dist(a, b) / 3)
    u = ((b[0] - a[0]) / math.dist(a, b), (b[1] - a[1]) / math.dist(a, b))
    tips = ""
    for (x, y), s in ((a, 1), (b, -1)):
        foot, half = (x + s * long * u[0], y + s * long * u[1]), long / 6
        p, q = (foot[0] - half * u[1], foot[1] + half * u[0]), (foot[0] + half * u[1], foot[1] - half * u[0])
        tips += f"M{number(x)} {number(y)}L{number(p[0])} {number(p[1])}L{number(q[0])} {number(q[1])}Z"
    return f'{line(a, b)}<path class="tip" d="{tips}"/>'
