"""Bridges measured in what the programs' own text leaves standing. Source: geometry.

A round cutter of 2 mm leaves a waist of the width asked for where no sweep reaches: the gap between the two sides' sweeps
just under the bridge's top. Its top lies its thickness above the underside where the sheet is thinnest; nothing is cut
deeper there, and right above it all is cut. Swept here with shapely alone, one segment at a time, cut off where its slope
passes the height asked about. The underside: -least with zero on the sheet's top, 0 with zero on the face it lies on.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.registry import Registry

REGISTRY = Registry.load()
JOB = """
job: bracket
machine: light-router
sheet:
  {{material: gfrp, size: [180, 120], thickness: {thickness}, breakthrough: {breakthrough}, board: 12, hold: screws, zero: {{z: {zero}}}}}
cutters: {{mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}}}
parts:
  - {{name: bracket, at: [[20, 20], [100, 30]], turn: {turn}, shapes: [{{rectangle: {{corner: [0, 0], size: [40, 30]}}}}]}}
operations:
  - profile: {{cutter: mill, cutmode: {cutmode}, bridges: {{width: 0.8, thickness: 0.6, slope: {slope}, {which}}}}}
"""
WHICH = {
    "spacing": ("spacing: 50", 3),
    "count": ("count: 3", 3),
    "at": ("at: [[9, 0], [30, 0], [40, 16], [21, 30]]", 4),
}
SHEETS = {"plain": ("2", 2.0, 2.0), "range": ("{nominal: 2, least: 1.85, most: 2.1}", 1.85, 2.1)}


def swept(result: Any, z: float) -> Any:
    """What is gone just under height z (mm)."""
    out = []
    for p in result.programs:
        c, radius = p.moves.curve, p.cutter.diameter / 2
        for k in np.flatnonzero(np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2]) < z):
            one = Curve(c.nodes[k : k + 2], c.turns[k : k + 1])
            a, b = one.nodes[:, 2]
            if max(a, b) > z and one.length > 1e-9:  # only the part of a slope that lies below
                at = one.length * (z - a) / (b - a)
                one = one.between(0, at) if a < b else one.between(at, one.length)
            line = one.path(0.0002) if one.length > 1e-6 else shapely.Point(one.start[:2])
            out.append(shapely.buffer(line, radius, quad_segs=128))
    return shapely.union_all(out)


def links(piece: shapely.Polygon, gone: Any) -> Any:
    """The kerf around a piece falls into as many chunks as there are bridges: rows of the
    place on the outline and the width of each gap."""
    kerf = shapely.difference(shapely.buffer(piece, 2.5, join_style="mitre"), piece)
    chunks = [g for g in shapely.get_parts(shapely.intersection(gone, kerf)) if g.area > 0.5]
    pairs = [shapely.shortest_line(a, b) for k, a in enumerate(chunks) for b in chunks[:k]]
    near = sorted(pairs, key=shapely.length)[: len(chunks) if len(chunks) > 1 else 0]
    foot = [piece.exterior.interpolate(piece.exterior.project(v.centroid)) for v in near]
    rows = [[p.x, p.y, v.length] for p, v in zip(foot, near)]
    return np.array(sorted(rows)).reshape(-1, 3)


def waists(piece: shapely.Polygon, gone: Any) -> Any:
    """The width of each gap."""
    return links(piece, gone)[:, 2]


@pytest.mark.parametrize("slope", [0, 40])
@pytest.mark.parametrize("which", list(WHICH))
@pytest.mark.parametrize(
    ("zero", "breakthrough", "sheet"),
    [("sheet_top", 0, "plain"), ("sheet_top", 0.5, "range"), ("sheet_top", 1, "plain"), ("board_top", 0, "range"),
     ("board_top", 0.5, "plain"), ("board_top", 1, "range")],
)  # fmt: skip
def test_as_wide_and_as_thick_as_asked(zero: str, breakthrough: float, sheet: str, which: str, slope: float) -> None:
    said, count = WHICH[which]
    thickness, least, most = SHEETS[sheet]
    cutmode, turn = ("climb", 0) if slope else ("conventional", 90)
    text = JOB.format(
        thickness=thickness, breakthrough=breakthrough, zero=zero, slope=slope, which=said, cutmode=cutmode, turn=turn
    )
    result = kw.make(kw.load_job("-", REGISTRY, text=text), REGISTRY)
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    assert [p.held_by for p in result.parts] == [f"{count} bridges"] * 2
    top = (-least if zero == "sheet_top" else 0.0) + 0.6
    floor = (-most if zero == "sheet_top" else 0.0) - breakthrough
    z = np.concatenate([p.moves.curve.nodes[:, 2] for p in result.programs])
    assert np.nanmin(z) == pytest.approx(floor)
    pieces = [shapely.box(*p.loops[0].curve.bounds) for p in result.setups[0].pieces]
    under, over = swept(result, top - 1e-4), swept(result, top + 1e-4)
    for piece in pieces:
        found = waists(piece, under)
        assert len(found) == count
        assert found == pytest.approx(np.full(count, 0.8), abs=0.01)
        if which == "at":  # on every copy where the drawing says, turned with it
            at = np.array([[9, 0], [30, 0], [40, 16], [21, 30]], float)
            at = np.column_stack([30 - at[:, 1], at[:, 0]]) if turn else at
            places = links(piece, under)[:, :2] - piece.bounds[:2]
            assert places == pytest.approx(np.array(sorted(at.tolist())), abs=0.01)
        # thickness: right above the top nothing stands; the cutter is nowhere deeper over the bridge
        ring = shapely.difference(shapely.buffer(piece, 1.9, quad_segs=32), piece)
        assert shapely.is_empty(shapely.difference(ring, shapely.buffer(over, 0.003)))
        # at the sheet's underside the flanks have run out by the thickness over the slope's tangent
        low = waists(piece, swept(result, top - 0.6 + 1e-4))
        run = 2 * 0.6 / np.tan(np.radians(slope)) if slope else 0.0
        assert low == pytest.approx(np.full(count, 0.8 + run), abs=0.01)


@pytest.mark.parametrize("which", list(WHICH))
def test_the_same_places_in_every_pass_and_operation(which: str) -> None:
    """A wider cutter first takes half of the depth, passes of 0.5 mm after it: the waists stay where and what they are."""
    text = JOB.format(
        thickness="2", breakthrough=0.4, zero="sheet_top", slope=0, which=WHICH[which][0], cutmode="climb", turn=0
    )
    wide = "wide: {form: end_mill, flutes: compression, diameter: 2.4, teeth: 2, flute_length: 8}"
    text = text.replace("cutters: {", f"cutters: {{{wide}, ").replace(
        "operations:\n", "operations:\n  - profile: {cutter: wide, depth: 1.8}\n"
    )
    text = text.replace("cutmode: climb,", "axial_depth: 0.5,")
    plain = kw.make(
        kw.load_job("-", REGISTRY, text=text.replace("  - profile: {cutter: wide, depth: 1.8}\n", "")), REGISTRY
    )
    both = kw.make(kw.load_job("-", REGISTRY, text=text), REGISTRY)
    assert both.ok, [f.message for f in both.findings if f.severity == "error"]
    assert len(both.programs) == len(plain.programs) + 1
    (rough,) = [p.moves.curve for p in both.programs if p.cutter and p.cutter.name == "wide" and p.kind == "program"]
    low = np.minimum(rough.nodes[:-1, 2], rough.nodes[1:, 2])
    assert np.nanmin(low) == pytest.approx(-1.8)
    for piece in [shapely.box(*p.loops[0].curve.bounds) for p in both.setups[0].pieces]:
        one, other = (links(piece, swept(r, -1.4001)) for r in (plain, both))
        assert len(one) == WHICH[which][1]
        assert other == pytest.approx(one, abs=0.01)  # where they are, and how wide
        assert other[:, 2] == pytest.approx(np.full(len(one), 0.8), abs=0.01)
        assert not len(links(piece, swept(both, -1.3999)))
