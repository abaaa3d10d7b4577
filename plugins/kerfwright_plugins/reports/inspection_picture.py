"""A part with its numbered sizes: which number is which size. Line types of ISO 128 (from memory).

Visible edges are wide continuous lines, dimension and extension lines narrow continuous ones, centers narrow long-dashed
dotted ones. Sizes over all and distances of centers along X and Y stand beside the part, all others where they are.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import shapely

from kerfwright.drawing import Drawing
from kerfwright.inspecting.rows import Row
from kerfwright_plugins.reports.balloons import Balloons, Point
from kerfwright_plugins.reports.dimensions import SIDES, dimension, line, sides, stacked
from kerfwright_plugins.reports.svgpath import number, path_of

__all__ = ["numbered_picture"]

STYLE = (
    ".edge{{fill:none;stroke:#12343b;stroke-width:{wide}}}.dim{{fill:none;stroke:#1d1d1d;stroke-width:{thin}}}"
    ".axis{{fill:none;stroke:#5a6265;stroke-width:{thin};stroke-dasharray:{dash}}}.tip{{fill:#1d1d1d}}"
    ".balloon{{fill:#fff;stroke:#1d1d1d;stroke-width:{thin}}}.digits{{font:600 {font}px sans-serif;text-anchor:middle;fill:#1d1d1d}}"
)
"""The page has one style for all: none of these names stands on the run sheet."""


def numbered_picture(drawing: Drawing, rows: Sequence[Row]) -> str:
    """An SVG element, in the drawing's coordinates and mm, Y up."""
    x0, y0, x1, y1 = drawing.bounds
    k = max(x1 - x0, y1 - y0, 1.0) / 100
    holes = [(c.x, c.y, c.diameter / 2) for c in (one.circle for one in drawing.loops) if c is not None]
    room = Balloons(2.5 * k, holes=holes)
    body = [f'<path class="edge" d="{"".join(path_of(one.curve) + "Z" for one in drawing.loops)}"/>']
    body += [_cross(x, y, r + 1.2 * k) for x, y, r in holes]
    numbers: list[tuple[Point, int]] = []
    beside = [r for r in rows if _stands_beside(r)]
    out = dict.fromkeys(SIDES, 2.0 * k)
    stands = sides([r.size for r in beside], (x0, y0, x1, y1))
    for side in SIDES:
        mine = [r for r, on in zip(beside, stands, strict=True) if on == side]
        lines, placed, far = stacked(mine, side, (x0, y0, x1, y1), k)
        body, numbers, out[side] = [*body, *lines], [*numbers, *placed], out[side] + far
    across = [shapely.LineString(r.size.ends) for r in rows if r not in beside and r.size.noun == "centers"]
    crossings = shapely.get_coordinates([a.intersection(b) for a, b in combinations(across, 2)])
    room.holes.extend((x, y, 0.0) for x, y in crossings.tolist())  # a number there would belong to either line
    for row in rows:
        if row in beside:
            continue
        a, b = row.size.ends
        if row.size.noun == "hole":
            at = room.beside(row.size.middle, row.size.nominal / 2)
            body.append(_leader(row.size.middle, at, row.size.nominal / 2))
        elif math.dist(a, b) > 9 * k:
            at = room.on(a, b)
        else:
            at = room.beside(row.size.middle, row.size.nominal / 2)
            body.append(_leader(row.size.middle, at, 0.0))
        body.append(dimension(a, b, k))
        numbers.append((at, row.number))
    tags = "".join(_balloon(at, n, room.radius) for at, n in numbers)
    left, right = x0 - out["left"] - 3 * k, x1 + out["right"] + 3 * k
    low, high = y0 - out["below"] - 3 * k, y1 + out["above"] + 3 * k
    style = STYLE.format(wide=number(0.5 * k), thin=number(0.2 * k), font=number(2.9 * k), dash=" ".join(number(v * k) for v in (2.4, 0.5, 0.3, 0.5)))  # fmt: skip
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(186.0)}mm" '
        f'viewBox="{number(left)} {number(-high)} {number(right - left)} {number(high - low)}"><style>{style}</style>'
        f'<g transform="scale(1,-1)">{"".join(body)}</g>{tags}</svg>'
    )


def _stands_beside(row: Row) -> bool:
    return row.size.noun in ("over all", "disc", "centers") and row.size.along in (0.0, 90.0)


def _cross(x: float, y: float, r: float) -> str:
    return f'<path class="axis" d="M{number(x - r)} {number(y)}h{number(2 * r)}M{number(x)} {number(y - r)}v{number(2 * r)}"/>'


def _leader(center: Point, at: Point, radius: float) -> str:
    far = math.dist(center, at)
    begin = (center[0] + (at[0] - center[0]) * radius / far, center[1] + (at[1] - center[1]) * radius / far)
    return line(begin, at)


def _balloon(at: Point, n: int, radius: float) -> str:
    x, y = number(at[0]), -at[1]
    return (
        f'<circle class="balloon" cx="{x}" cy="{number(y)}" r="{number(radius)}"/>'
        f'<text class="digits" x="{x}" y="{number(y + 0.42 * radius)}">{n}</text>'
    )
