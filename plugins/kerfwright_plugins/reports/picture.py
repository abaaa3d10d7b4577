"""The picture of a sheet: drawing, kerf, bridges, moves in the air, keepouts, zero, and each finding in its place."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import ClassVar

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools
from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.report import Report
from kerfwright.result import ProgramText, Result
from kerfwright.setup import Setup
from kerfwright_plugins.reports.svgpath import number, path_of, path_where

__all__ = ["Picture", "sheet_picture"]

STYLE = """
.sheet{fill:#f4f1ea;stroke:#2b2b2b;stroke-width:.35}
.part{fill:#dfe7e4;fill-rule:evenodd;stroke:#12343b;stroke-width:.3}
.kerf{fill:none;stroke:#2f6f7e;stroke-opacity:.28;stroke-linecap:round;stroke-linejoin:round}
.way{fill:none;stroke:#12343b;stroke-width:.13;stroke-dasharray:2.4 .5 .4 .5}
.air{fill:none;stroke:#7b6d8d;stroke-width:.13;stroke-dasharray:1.2 .8}
.bridge{fill:none;stroke:#c0631c;stroke-linecap:butt}
.keepout{fill:#9c2f3f;fill-opacity:.25;stroke:#9c2f3f;stroke-width:.25}
.zero{fill:none;stroke:#111;stroke-width:.4}
.found{fill:none;stroke:#c1121f;stroke-width:.5}
text{font-family:sans-serif;fill:#1d1d1d}
"""

LEGEND = 188.0
"""Width of the legend with its margins, at scale 1."""


@define(frozen=True)
class Picture(Report):
    """One SVG a sheet, in millimetres."""

    name: ClassVar[str] = "picture"

    def render(self, result: Result) -> Mapping[str, str]:
        """`picture.svg`, or `picture-N.svg` where there are several sheets."""
        many = len(result.setups) > 1
        return {f"picture{f'-{s.number}' if many else ''}.svg": sheet_picture(result, s) for s in result.setups}


def _ring(line: shapely.Geometry) -> str:
    points = shapely.get_coordinates(line)
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + "Z"


def _area(polygon: shapely.Polygon) -> str:
    return "".join(_ring(r) for r in (polygon.exterior, *polygon.interiors))


def _cutting(setup: Setup, curve: Curve, feeds: np.ndarray) -> Bools:
    low = np.nan_to_num(np.minimum(curve.nodes[:-1, 2], curve.nodes[1:, 2]), nan=np.inf)
    cuts: Bools = (feeds > 0) & (low < setup.heights.highest - 1e-6)
    return cuts


def _bridges(setup: Setup, curve: Curve, cuts: Bools) -> Bools:
    """Segments of a cut that run level on the top of a declared bridge."""
    declared = [getattr(w.operation, "bridges", None) for w in setup.works]
    tops = [setup.heights.bridge_top(b.thickness) for b in declared if b is not None]
    level = np.zeros(len(curve), bool)
    for top in tops:
        level |= (np.abs(curve.nodes[:-1, 2] - top) < 2e-3) & (np.abs(curve.nodes[1:, 2] - top) < 2e-3)
    return cuts & level


def _grooves(setup: Setup, cutter: Cutter, curve: Curve, cuts: Bools) -> list[str]:
    """What a cone takes, as wide as it is at the sheet's top: the deeper its tip the wider."""
    low = np.round(np.minimum(curve.nodes[:-1, 2], curve.nodes[1:, 2]), 2)
    out = []
    for z in np.unique(low[cuts]).tolist():
        which = cuts & (low == z)
        wide = number(2 * cutter.radius_at(setup.heights.highest - z))
        at = curve.nodes[1:][which & (np.nan_to_num(curve.lengths) < 1e-6)]
        holes = "".join(f"M{number(x)} {number(y)}h0" for x, y in np.unique(np.round(at[:, :2], 3), axis=0))
        out.append(f'<path class="kerf" stroke-width="{wide}" d="{path_where(curve, which)}{holes}"/>')
    return out


def _program(setup: Setup, p: ProgramText) -> str:
    if p.moves is None:
        return ""
    known = np.flatnonzero(np.isfinite(p.moves.curve.nodes).all(1))
    if not len(known):
        return ""
    curve = Curve(p.moves.curve.nodes[known[0] :], p.moves.curve.turns[known[0] :])
    feeds = p.moves.feeds[known[0] :]
    cuts = _cutting(setup, curve, feeds)
    out = [f'<path class="air" d="{path_where(curve, ~cuts)}"/>']
    for cutter in p.cutters if p.kind == "program" else ():
        out += _ways(setup, cutter, curve, cuts & p.made_with(cutter)[known[0] :])
    return f"<g><title>{escape(p.file)}</title>{''.join(out)}</g>"


def _ways(setup: Setup, cutter: Cutter, curve: Curve, cuts: Bools) -> list[str]:
    """Kerf, way of the center and bridges of what one cutter cuts."""
    wide = number(cutter.cuts)
    at = curve.nodes[1:][cuts & (np.nan_to_num(curve.lengths) < 1e-6)]
    holes = "".join(f"M{number(x)} {number(y)}h0" for x, y in np.unique(np.round(at[:, :2], 3), axis=0))
    bridge = path_where(curve, _bridges(setup, curve, cuts))
    out = (
        _grooves(setup, cutter, curve, cuts)
        if cutter.taper
        else [f'<path class="kerf" stroke-width="{wide}" d="{path_where(curve, cuts)}{holes}"/>']
    )
    out.append(f'<path class="way" d="{path_where(curve, cuts)}"/>')
    if bridge:
        out.append(f'<path class="bridge" stroke-width="{wide}" d="{bridge}"/>')
    return out


def _zero(size: float) -> str:
    """Zero of the program with the directions of X and Y."""
    s = number(size)
    return (
        f'<g class="zero"><circle r="{number(size * 0.2)}"/><path d="M0 0H{s}M0 0V{s}"/></g>'
        f'<g transform="scale(1,-1)"><text x="{number(size * 1.1)}" y="{number(size * 0.12)}" font-size="{number(size * 0.4)}">X</text>'
        f'<text x="{number(-size * 0.13)}" y="{number(-size * 1.12)}" font-size="{number(size * 0.4)}">Y</text></g>'
    )


def sheet_picture(result: Result, setup: Setup) -> str:
    """The SVG text of one sheet, seen from above, X right and Y up."""
    x0, y0, x1, y1 = setup.stock.bounds
    files = {p.file for p in result.programs if p.sheet == setup.number}
    spots = [f for f in result.findings if f.at is not None and (not f.program or f.program in files)]
    scale = max(x1 - x0, y1 - y0) / 200
    pad, foot = 12 * scale, (34 + 6 * bool(spots)) * scale
    xs = [x0, x1, 0.0, 14 * scale, *[f.at[0] for f in spots if f.at]]
    ys = [y0, y1, 0.0, 14 * scale, *[f.at[1] for f in spots if f.at]]
    left, right, low, high = min(xs) - pad, max(xs) + pad, min(ys) - pad, max(ys) + pad
    font = 4 * scale
    body = [f'<path class="sheet" d="{_area(setup.stock)}"/>']
    body += [f'<path class="part" d="{"".join(path_of(one.curve) + "Z" for one in p.loops)}"/>' for p in setup.pieces]
    body += [f'<path class="keepout" d="{_area(a)}"/>' for a, _ in setup.keepouts]
    body += [_program(setup, p) for p in result.programs if p.sheet == setup.number]
    body.append(_zero(10 * scale))
    for k, f in enumerate(spots, 1):
        x, y = number(f.at[0] if f.at else 0), number(f.at[1] if f.at else 0)
        body.append(
            f'<g><title>{escape(f.check)}: {escape(f.message)}</title><circle class="found" cx="{x}" cy="{y}" r="{number(3 * scale)}"/>'
            f'<g transform="translate({x},{y}) scale(1,-1)"><text x="{number(3.4 * scale)}" font-size="{number(font)}">{k}</text></g></g>'
        )
    title = f"{result.job.name}, sheet {setup.number}: {x1 - x0:g} x {y1 - y0:g} x {setup.job.sheet.thickness.nominal:g} mm, {setup.job.sheet.material.title}"
    right = max(right, left + scale * max(LEGEND, 24 + 2.3 * len(title)))  # of a tall sheet the words are wider
    wide, tall = right - left, high - low + foot
    legend = _legend(left, -low + 9 * scale, scale, bool(spots))
    label = f'<text x="{number(left + pad)}" y="{number(-low + 4 * scale)}" font-size="{number(font)}">{escape(title)}</text>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(wide)}mm" height="{number(tall)}mm" '
        f'viewBox="{number(left)} {number(-high)} {number(wide)} {number(tall)}">\n<title>{escape(title)}</title><style>{STYLE}</style>\n'
        f'<g transform="scale(1,-1)">\n' + "\n".join(body) + f"\n</g>\n{label}{legend}\n</svg>\n"
    )


def _legend(left: float, top: float, scale: float, found: bool) -> str:
    rows = (
        ("part", "part as drawn", "", True),
        ("kerf", "what the cutter takes", "3", False),
        ("way", "center of the cutter", "", False),
        ("bridge", "bridge: the cutter passes above it", "3", False),
        ("air", "moves above the sheet", "", False),
        ("keepout", "keepout: screw, clamp, fixture", "", True),
    )
    out = []
    for k, (name, words, width, filled) in enumerate(rows):
        x, y = left + (12 + 95 * (k % 2)) * scale, top + 6 * scale * (k // 2)
        shape = (
            f'<rect class="{name}" x="{number(x)}" y="{number(y - 2.5 * scale)}" width="{number(9 * scale)}" height="{number(3 * scale)}"/>'
            if filled
            else f'<path class="{name}"{f" stroke-width={chr(34)}{number(float(width) * scale)}{chr(34)}" if width else ""} d="M{number(x)} {number(y - scale)}h{number(9 * scale)}"/>'
        )
        out.append(
            f'{shape}<text x="{number(x + 11 * scale)}" y="{number(y)}" font-size="{number(3.4 * scale)}">{words}</text>'
        )
    if found:
        x, y, r = left + 12 * scale, top + 18 * scale, number(1.5 * scale)
        ring = f"M{number(x + 3 * scale)} {number(y - scale)}a{r} {r} 0 1 0 {number(3 * scale)} 0a{r} {r} 0 1 0 {number(-3 * scale)} 0"
        out.append(
            f'<path class="found" d="{ring}"/><text x="{number(x + 11 * scale)}" y="{number(y)}" font-size="{number(3.4 * scale)}">'
            "finding, by its number</text>"
        )
    return f"<g>{''.join(out)}</g>"
