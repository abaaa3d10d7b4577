"""Bevels, measured in what the text sweeps; expected sizes by hand: a flank of 45 degrees goes in as far as it goes down."""

from __future__ import annotations

import re

import pytest
import shapely

PLATE = "rectangle: {corner: [0, 0], size: [40, 30]}"
WINDOW = "rectangle: {corner: [10, 8], size: [20, 12], radius: 2}"
OUTER = "profile: {cutter: mill, bridges: {width: 0.8, thickness: 0.4, spacing: 40}}"
INNER = "profile: {cutter: mill, waste: inside, select: inner, bridges: {width: 0.8, thickness: 0.4, count: 2}}"


def broken(bench, what: str, cutter: str = "vee") -> str:
    return f"edge_break: {{cutter: {cutter}, {what}, {bench.rates()}}}"


VEES = {
    90: "point_angle: 90, diameter: 6, tip_diameter: 0.2, flute_length: 5",
    60: "point_angle: 60, diameter: 6, tip_diameter: 0.4, flute_length: 6",
}


@pytest.mark.parametrize(("width", "angle"), [(0.2, 90), (0.5, 90), (1.2, 90), (0.5, 60)])
@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
def test_the_bevel_in_the_sweep_is_as_wide_as_asked(bench, width, angle, cutmode):
    """At the top, half way down, and just below its foot, where the edge is whole: within 0.002 mm (0.01 is asked for)."""
    asked = broken(bench, f"select: all, width: {width}, cutmode: {cutmode}")
    setup, _, evidence = bench.clean(bench.text(INNER, asked, OUTER, shapes=[PLATE, WINDOW], vee=VEES[angle]))
    outer, inner = (loop.curve.polygon() for loop in setup.pieces[0].loops)
    foot = width if angle == 90 else width * 1.7320508
    for deep, left in ((1e-6, width), (foot / 2, width / 2), (foot + 0.01, 0.0)):
        stays = shapely.difference(shapely.Polygon(outer.exterior, [inner.exterior]), evidence.at(-deep).swept())
        part = max(shapely.get_parts(stays), key=lambda p: p.area)
        outside, inside = (shapely.Polygon(r).bounds for r in (part.exterior, part.interiors[0]))
        for a, b, way in zip(outside, outer.bounds, (1, 1, -1, -1)):
            assert a - b == pytest.approx(way * left, abs=0.002)
        for a, b, way in zip(inside, inner.bounds, (-1, -1, 1, 1)):
            assert a - b == pytest.approx(way * left, abs=0.002)


@pytest.mark.parametrize("zero", ["sheet_top", "board_top"])
@pytest.mark.parametrize("turn", [0, 37])
def test_before_the_profile_or_after_it(bench, zero, turn):
    for some in ((broken(bench, "width: 0.5"), OUTER), (OUTER, broken(bench, "width: 0.5"))):
        sheet = f", zero: {{z: {zero}}}"
        bench.clean(bench.text(*some, shapes=[PLATE], sheet=sheet, turn=turn, at="[30, 10]"))


@pytest.mark.parametrize(
    "path",
    [
        "M 0 0 H 40 V 30 H 24 V 10 H 16 V 30 H 0 Z",
        "M 0 0 H 40 L 20 34 Z",
        "M 0 0 H 40 V 30 H 21.3 V 10 H 18.7 V 30 H 0 Z",
    ],
)
def test_inside_corners_and_sharp_ones(bench, path):
    bench.clean(bench.text(broken(bench, "width: 0.4"), OUTER, shapes=[f'path: "{path}"']))


def shifted(by: float):
    return lambda t: re.sub(r"Z(-\d+\.\d+)", lambda m: f"Z{float(m[1]) + by:.3f}", t)


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        (shifted(-0.02), {"gouge"}),
        (shifted(0.02), {"leftover"}),
        (lambda t: re.sub(r"Y(\d+\.\d+)", lambda m: f"Y{float(m[1]) + 0.02:.3f}", t), {"gouge", "leftover"}),
    ],
    ids=["deeper", "higher", "aside"],
)
def test_a_spoiled_bevel_is_found(bench, change, codes):
    """The front edge lies at Y 20; tip 0.2 mm wide, 0.2 mm below the foot: its axis 0.3 mm before it."""
    setup, texts, _ = bench.clean(bench.text(broken(bench, "width: 0.5"), OUTER, shapes=[PLATE]))
    assert bench.codes(setup, texts, "vee", change) - {"walk_round"} == codes


def test_a_knife_edge_is_never_released(bench):
    """Sheet 2 mm: a bevel of 1.8 mm leaves 0.2, a tenth of it; one of 1.82 leaves 0.18."""
    for width, ok in ((1.8, True), (1.82, False)):
        if ok:
            bench.clean(
                bench.text(
                    broken(bench, f"width: {width}, below: 0.05"),
                    OUTER.replace("0.4", "0.1"),
                    shapes=[PLATE],
                    thickness=2,
                )
            )
            continue
        text = bench.text(
            broken(bench, f"width: {width}, below: 0.05"), OUTER.replace("0.4", "0.1"), shapes=[PLATE], thickness=2
        )
        setup = bench.setup(text)
        (one,) = [f for f in bench.prove(setup, bench.programs(setup)).findings if f.severity == "error"]
        assert one.check == "taking"
        assert one.message.endswith("a knife edge: 0.180 mm of upright wall is left; allowed: at least 0.2 mm")


SLIT = "rectangle: {corner: [10, 8], size: [20, 2.2]}"
REFUSED = [
    ("an outline nobody cuts", [broken, OUTER], "select: all, width: 0.5", {"shapes": [PLATE, WINDOW]},
     "the outline at (40.000, 28.000) is cut through by no operation; allowed: an outline that a profile cuts through on one side"),
    ("a wider bevel than the cone", [broken, OUTER], "width: 2.8", {"shapes": [PLATE]},
     "the cone of vee makes a bevel of 2.7 mm at most, not of 2.8 mm"),
    ("a slit the tip does not go into", [INNER, broken, OUTER], "select: all, width: 0.5, below: 1.1", {"shapes": [PLATE, SLIT]},
     "the outline at (40.000, 28.000): the tip does not go into it"),
    ("a hole too near to the edge", ["drill: {cutter: drill, select: {circles: 3.2}}", broken, OUTER], "select: outer, width: 0.5",
     {"shapes": [PLATE, "circle: {center: [2, 15], diameter: 3.2}"]},
     "its cone would touch the outline at (30.400, 33.400), 0.7 mm from the tip's way"),
    ("a neighbour too near", [broken, OUTER], "width: 1.9", {"shapes": [PLATE], "at": "[[30, 20], [72.05, 20]]"}, "would cut into part 'hatch' copy 2"),
    ("a bridge as high as the tip", [broken, OUTER.replace("0.4", "2.5")], "width: 0.5", {"shapes": [PLATE]}, "its cutter would enter a bridge"),
    ("a keepout", [broken, OUTER], "width: 0.5", {"shapes": [PLATE], "sheet": ", keepout: [{circle: {center: [25, 30], diameter: 4}, height: 4}]"},
     "would cut into sheet.keepout[0]: 2.699 mm from the tip's way"),
]  # fmt: skip


@pytest.mark.parametrize(("operations", "what", "more", "told"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_what_cannot_be_made_is_refused(bench, operations, what, more, told):
    text = bench.text(*(one(bench, what) if callable(one) else one for one in operations), **more)
    (fault,) = bench.refused(text)
    assert told in fault
