"""A picture of each finding: the place enlarged, with the drawing, what the cutter takes there, and the program line."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping
from html import escape
from typing import ClassVar

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools
from kerfwright.curve import Curve
from kerfwright.finding import Finding
from kerfwright.places import pictured, place_of, program_of
from kerfwright.report import Report
from kerfwright.result import ProgramText, Result
from kerfwright.setup import Setup
from kerfwright_plugins.reports.svgpath import number, path_of, path_where

__all__ = ["FindingPictures"]

SIDE = 150.0
"""Width and height of the enlarged place on paper (mm)."""
STYLE = """
text{font-family:sans-serif;fill:#000}.code{font-family:monospace}
.sheet{fill:#fff;stroke:#000;stroke-width:.5;stroke-dasharray:4 1.5}
.part{fill:#ddd;fill-rule:evenodd;stroke:#000;stroke-width:.7}
.kerf{fill:none;stroke:#2f6f7e;stroke-opacity:.25;stroke-linecap:round;stroke-linejoin:round}
.way{fill:none;stroke:#2f6f7e;stroke-width:.35;stroke-dasharray:5 1 1 1}
.air{fill:none;stroke:#777;stroke-width:.3;stroke-dasharray:2 1.5}
.said{fill:none;stroke:#c1121f;stroke-width:1.1;stroke-linecap:round}
.keepout{fill:none;stroke:#000;stroke-width:.6;stroke-dasharray:1 1}
.mark{fill:none;stroke:#c1121f;stroke-width:.6}.frame{fill:none;stroke:#000;stroke-width:.6}.scale{stroke:#000;stroke-width:1;fill:none}
"""


@define(frozen=True)
class FindingPictures(Report):
    """`finding-1.svg` and on, worst first, of each finding that has a place."""

    name: ClassVar[str] = "finding_pictures"

    def render(self, result: Result) -> Mapping[str, str]:
        """At most as many as `kerfwright.places.MOST`."""
        return {name: _picture(result, result.findings[k]) for k, name in pictured(result).items()}


def _picture(result: Result, f: Finding) -> str:
    place = place_of(result, f)
    assert place is not None
    program = program_of(result, f)
    setup = _setup(result, program)
    widest = max((c.cuts for c in result.job.cutters.values()), default=3.0)
    half = max(4.0, 3.0 * ((program.cutter.cuts if program and program.cutter else None) or widest))
    scale = SIDE / (2 * half)
    words = _words(f, program, place)
    tall = SIDE + 26 + 5.2 * len(words)
    title = f"{f.severity} {f.check}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(SIDE + 20)}mm" height="{number(tall)}mm" viewBox="0 0 {number(SIDE + 20)} '
        f'{number(tall)}">\n<title>{escape(title)}</title><style>{STYLE}</style>\n<rect width="100%" height="100%" fill="#fff"/>\n'
        f'<clipPath id="w"><rect x="10" y="10" width="{number(SIDE)}" height="{number(SIDE)}"/></clipPath>\n'
        f'<g clip-path="url(#w)">{_drawn(result, setup, f, place, half, scale)}</g>\n'
        f'<rect class="frame" x="10" y="10" width="{number(SIDE)}" height="{number(SIDE)}"/>\n{_bar(half, scale)}\n'
        + "\n".join(_line(k, kind, line) for k, (kind, line) in enumerate(words))
        + "\n</svg>\n"
    )


def _line(k: int, kind: str, words: str) -> str:
    look = 'font-size="4.4" font-weight="700"' if kind == "head" else 'font-size="3.8"'
    return f'<text class="{kind}" x="10" y="{number(SIDE + 26 + 5.2 * k)}" {look}>{escape(words)}</text>'


def _setup(result: Result, program: ProgramText | None) -> Setup:
    number_ = program.sheet if program else result.setups[0].number
    return next((s for s in result.setups if s.number == number_), result.setups[0])


def _words(f: Finding, program: ProgramText | None, place: tuple[float, float]) -> list[tuple[str, str]]:
    z = f" Z{f.at[2]:g}" if f.at is not None and len(f.at) > 2 else ""
    out = [("head", f"{f.severity}: {f.check.replace('_', ' ')}   at X{place[0]:.3f} Y{place[1]:.3f}{z}")]
    out += [("", line) for line in textwrap.wrap(f.message, 78)]
    if f.remedy and f.severity != "note":
        out += [("", line) for line in textwrap.wrap(f"To do: {f.remedy}.", 78)]
    if f.program:
        out.append(("", f"{f.program}{f', line {f.line} (red)' if f.line else ''}"))
    if program is not None and 0 < f.line <= program.text.count("\n") + 1:
        lines = program.text.split("\n")
        out += [
            ("code", f"{'>' if k == f.line else '|'} {k:>5}  {lines[k - 1][:66]}".replace(" ", "\u00a0"))
            for k in range(max(1, f.line - 2), min(len(lines), f.line + 2) + 1)
        ]
    return out


def _drawn(result: Result, setup: Setup, f: Finding, place: tuple[float, float], half: float, scale: float) -> str:
    """All in paper millimetres, Y up: the place in the middle of the square."""
    x, y = place
    middle = 10 + SIDE / 2

    def moved(curve: Curve) -> Curve:
        nodes = curve.nodes.copy()
        nodes[:, :2] = (nodes[:, :2] - [x, y]) * scale
        return Curve(nodes, curve.turns)

    def area(g: shapely.Geometry) -> str:
        rings = [r for p in shapely.get_parts(g) for r in (p.exterior, *p.interiors)]
        points = [(shapely.get_coordinates(r) - [x, y]) * scale for r in rings]
        return "".join("M" + "L".join(f"{number(a)} {number(b)}" for a, b in p) + "Z" for p in points)

    window = shapely.box(x - 2 * half, y - 2 * half, x + 2 * half, y + 2 * half)
    body = [f'<path class="sheet" d="{area(shapely.intersection(setup.stock, window))}"/>']
    for piece in setup.pieces:
        if any(_meets(one.curve.bounds, window.bounds) for one in piece.loops):
            drawn = "".join(path_of(moved(one.curve)) + "Z" for one in piece.loops)
            body.append(f'<path class="part" d="{drawn}"/>')
    body += [f'<path class="keepout" d="{area(a)}"/>' for a, _ in setup.keepouts if shapely.intersects(a, window)]
    for p in result.programs:
        if p.sheet == setup.number and p.moves is not None:
            body.append(_ways(setup, p, f, moved, window.bounds, scale))
    r = number(min(3.0, half / 3) * scale * 0.5)
    body.append(f'<circle class="mark" r="{r}"/><path class="mark" d="M-{r} 0H{r}M0 -{r}V{r}"/>')
    return f'<g transform="translate({number(middle)},{number(middle)}) scale(1,-1)">{"".join(body)}</g>'


def _meets(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] <= b[2] and a[2] >= b[0] and a[1] <= b[3] and a[3] >= b[1]


def _ways(
    setup: Setup, p: ProgramText, f: Finding, moved: Callable[[Curve], Curve], window: tuple[float, ...], scale: float
) -> str:
    """The moves of a program that come near: kerf, way of the center, moves in the air, and the line that is meant."""
    assert p.moves is not None
    known = np.flatnonzero(np.isfinite(p.moves.curve.nodes).all(axis=1))
    if not len(known) or known[0] >= len(p.moves.curve):
        return ""
    k = int(known[0])
    curve, feeds, lines = Curve(p.moves.curve.nodes[k:], p.moves.curve.turns[k:]), p.moves.feeds[k:], p.moves.lines[k:]
    near = _near(curve, window, max((c.radius for c in p.cutters), default=0.0))
    low = np.minimum(curve.nodes[:-1, 2], curve.nodes[1:, 2])
    cuts: Bools = near & (feeds > 0) & (low < setup.heights.highest - 1e-6)
    mine: Bools = near & (lines == f.line) & (p.file == f.program)
    seen = moved(curve)
    out = [f'<path class="air" d="{path_where(seen, near & ~cuts)}"/>']
    for cutter in p.cutters if p.kind == "program" else ():
        wide = number(cutter.cuts * scale)
        cut = cuts & p.made_with(cutter)[k:]
        still = seen.nodes[1:][cut & (curve.lengths < 1e-6), :2]
        spots = np.unique(np.round(still, 2), axis=0)
        holes = "".join(f"M{number(a)} {number(b)}h0" for a, b in spots)
        out.append(f'<path class="kerf" stroke-width="{wide}" d="{path_where(seen, cut)}{holes}"/>')
        out.append(f'<path class="way" d="{path_where(seen, cut)}"/>')
    if mine.any():
        ends = seen.nodes[1:][mine]
        dots = "".join(f"M{number(a)} {number(b)}h0" for a, b in ends[:, :2])
        out.append(f'<path class="said" d="{path_where(seen, mine)}{dots}"/>')
    return "".join(out)


def _near(curve: Curve, window: tuple[float, ...], reach: float) -> Bools:
    """Segments whose box, bulges and kerf counted in, meets the window."""
    a, b = curve.nodes[:-1, :2], curve.nodes[1:, :2]
    bulge = np.where(np.abs(curve.turns) > 1e-12, np.minimum(np.hypot(*(b - a).T), 1e6) + 1e-9, 0.0)
    bulge = np.where(np.abs(curve.turns) > np.pi, 2 * np.where(np.isinf(curve.radii), 0.0, curve.radii), bulge) + reach
    low, high = np.minimum(a, b) - bulge[:, None], np.maximum(a, b) + bulge[:, None]
    out: Bools = (
        (low[:, 0] <= window[2]) & (high[:, 0] >= window[0]) & (low[:, 1] <= window[3]) & (high[:, 1] >= window[1])
    )
    return out


def _bar(half: float, scale: float) -> str:
    """How long a millimetre is."""
    length = max(v for v in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0) if v <= half / 2)
    y = SIDE + 15
    return (
        f'<path class="scale" d="M10 {number(y)}h{number(length * scale)}M10 {number(y - 1.5)}v3M{number(10 + length * scale)} {number(y - 1.5)}v3"/>'
        f'<text x="{number(13 + length * scale)}" y="{number(y + 1.4)}" font-size="3.8">{length:g} mm; grey: part as drawn; blue: what the cutter takes</text>'
    )
