"""Marks, measured in what the text sweeps: depth, width and place; letters by eye and by count."""

from __future__ import annotations

import re

import numpy as np
import pytest
import shapely

from kerfwright_plugins.lettering import ALLOWED, GLYPHS, lettered, unknown

PLATE = "rectangle: {corner: [0, 0], size: [50, 36]}"
RING = "circle: {center: [25, 10], diameter: 12}, layer: score"
OUTER = "profile: {cutter: mill, bridges: {width: 0.8, thickness: 0.4, spacing: 40}, select: outer}"


def mark(bench, what: str, cutter: str = "vee") -> str:
    return f"mark: {{cutter: {cutter}, {what}, {bench.rates()}}}"


@pytest.mark.parametrize(
    ("cutter", "depth", "top", "floor"),
    [("vee", 0.2, 0.6, 0.2), ("vee", 0.5, 1.2, 0.2), ("fine", 0.15, 0.8, 0.8)],  # widths: tip 0.2 and 45 degrees; Ø0.8
)
def test_depth_and_width_of_a_scored_circle(bench, cutter, depth, top, floor):
    """A circle of 12 mm: a ring as wide as the cutter is at that height, to the depth and no deeper."""
    asked = mark(bench, f"select: {{layer: score}}, depth: {depth}", cutter)
    _, _, evidence = bench.clean(bench.text(asked, OUTER, shapes=[PLATE, RING]))
    near = shapely.Point(55, 30).buffer(8)
    for deep, wide in ((1e-6, top), (depth - 1e-6, floor)):
        ring = shapely.intersection(evidence.at(-deep).swept(), near)
        assert ring.area == pytest.approx(np.pi * 12 * wide, rel=3e-3)
        assert ring.bounds[2] - 55 == pytest.approx(6 + wide / 2, abs=0.002)
    assert shapely.intersection(evidence.at(-depth - 1e-4).swept(), near).is_empty


@pytest.mark.parametrize(("turn", "corner"), [(0, (40.0, 32.0)), (90, (54.0, 30.0))])
def test_text_stands_where_the_drawing_has_it_and_turns_with_the_piece(bench, turn, corner):
    """An L of 6 mm at (10, 12) of the drawing. The piece lies at (30, 20); turned by 90 degrees (x, y) goes to (36 - y, x)."""
    asked = mark(bench, "text: L, at: [10, 12], height: 6, depth: 0.2")
    _, _, evidence = bench.clean(bench.text(asked, OUTER, shapes=[PLATE], turn=turn))
    mine = shapely.intersection(evidence.at(-0.1).swept(), shapely.box(33, 23, 63, 54))
    x0, y0, x1, y1 = mine.bounds
    r = 0.2  # half the width 0.1 mm deep: tip 0.1, and 0.1 of the flank
    want = (
        (corner[0], corner[1], corner[0] + 4, corner[1] + 6)
        if not turn
        else (corner[0] - 6, corner[1], corner[0], corner[1] + 4)
    )
    assert (x0, y0, x1, y1) == pytest.approx((want[0] - r, want[1] - r, want[2] + r, want[3] + r), abs=0.002)


def test_placeholders_and_copies(bench):
    """`{part}-{copy}`: two copies differ in their last letter alone: a 1 has two strokes, a 2 has one."""
    text = bench.text(
        mark(bench, 'text: "{part}-{copy}", at: [3, 10], height: 5'), OUTER, shapes=[PLATE], at="[[5, 5], [62, 45]]"
    )
    _, texts, _ = bench.clean(text)
    (vee,) = [t for n, _, t in texts if "vee" in n]
    strokes = sum(len(lettered(f"HATCH-{k}", 0, 0, 5)) for k in (1, 2))
    assert vee.count("G1 Z-0.200") == strokes == 2 * 12 + 2 + 1


def shifted(by: float):
    return lambda t: re.sub(r"Z(-\d+\.\d+)", lambda m: f"Z{float(m[1]) + by:.3f}", t)


@pytest.mark.parametrize(
    ("cutter", "change", "codes"),
    [
        ("vee", shifted(-0.02), {"gouge"}),
        ("vee", shifted(0.02), {"leftover"}),
        ("fine", shifted(-0.02), {"gouge"}),
        ("fine", shifted(0.02), {"leftover"}),
        ("vee", lambda t: t.replace("X44.000", "X44.020"), {"gouge"}),
        ("vee", lambda t: t.replace("X44.000", "X42.000"), {"leftover"}),
    ],
)
def test_a_spoiled_mark_is_found(bench, cutter, change, codes):
    asked = mark(bench, "text: L, at: [10, 12], height: 6, depth: 0.2", cutter)
    setup, texts, _ = bench.clean(bench.text(asked, OUTER, shapes=[PLATE]))
    assert bench.codes(setup, texts, cutter, change) - {"walk_round"} == codes


REFUSED = [
    ("text: LONG-NAME-OF-A-PART, at: [3, 10], height: 5", {}, "reaches beyond the part"),
    ('text: "{part}", at: [3, 10], height: 5', {"name": "name: trägerplatte"}, "found 'ä'"),
    ("text: A, at: [3, 10], part: hutch", {}, "works on no part of the job; there are 'hatch'"),
    ("text: A, at: [3, 10], depth: 3", {}, "allowed: through, or less than the sheet's 3 mm"),
]


@pytest.mark.parametrize(("what", "more", "told"), REFUSED)
def test_what_cannot_be_made_is_refused(bench, what, more, told):
    text = bench.text(mark(bench, what), OUTER, shapes=[PLATE]).replace("name: hatch", more.get("name", "name: hatch"))
    assert told in bench.refused(text)[0]


def test_text_after_its_piece_is_cut_out_is_refused(bench):
    (fault,) = bench.refused(bench.text(OUTER, mark(bench, "text: A, at: [3, 10]"), shapes=[PLATE]))
    assert (
        "works on part 'hatch', which operations[0].profile has cut out before; allowed: operations[1].mark first"
        in fault
    )


def test_letters():
    """Each stays on its grid, is as tall as a capital where it should be, and no two are drawn alike."""
    drawn = {c: lettered(c, 0, 0, 6) for c in GLYPHS if c != " "}
    for c, strokes in drawn.items():
        p = np.vstack([s.nodes[:, :2] for s in strokes])
        assert p.min() >= 0
        assert p[:, 0].max() == GLYPHS[c][0]
        assert p[:, 1].max() == {"-": 3, ".": 1, "_": 0}.get(c, 6)
    assert len({str([s.nodes.tolist() for s in v]) for v in drawn.values()}) == len(drawn)
    assert {c for c in map(chr, range(32, 127)) if c.isupper() or c.isdigit() or c in " -./#_"} == set(GLYPHS)
    assert unknown("Ab-1/2#._ ") == ""
    assert unknown("A+B") == "+"
    assert ALLOWED == "A to Z, 0 to 9, space, - . / # _"
