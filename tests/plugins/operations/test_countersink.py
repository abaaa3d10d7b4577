"""Countersinks, measured in what the text sweeps; expected sizes by hand (cone of 90 degrees: radius falls as depth grows)."""

from __future__ import annotations

import re

import numpy as np
import pytest

PLATE = "rectangle: {corner: [0, 0], size: [60, 40], radius: 4}"
DRILL = "drill: {cutter: drill, select: {circles: 3.2}}"
OUTER = "profile: {cutter: mill, bridges: {width: 0.8, thickness: 0.4, spacing: 40}}"


def hole(x: float, y: float, diameter: float = 3.2) -> str:
    return f"circle: {{center: [{x}, {y}], diameter: {diameter}}}"


def sink(bench, what: str, cutter: str = "vee", select: str = "{circles: 3.2}") -> str:
    return f"countersink: {{cutter: {cutter}, select: {select}, {what}, {bench.rates()}}}"


@pytest.mark.parametrize(
    ("what", "vee", "face", "slope"),
    [
        ("size: M3", "point_angle: 90, diameter: 6, tip_diameter: 0.2, flute_length: 5", 6.3, 1.0),  # around
        ("size: M3", "point_angle: 90, diameter: 12, flute_length: 8", 6.3, 1.0),  # a sharp tip
        ("diameter: 5", "point_angle: 90, diameter: 10, tip_diameter: 3, flute_length: 5", 5.0, 1.0),  # straight down
        ("diameter: 5", "point_angle: 60, diameter: 6, tip_diameter: 0.4, flute_length: 6", 5.0, 0.57735),
        ("diameter: 6", "point_angle: 120, diameter: 8, tip_diameter: 0.4, flute_length: 5", 6.0, 1.73205),
    ],
)
@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
def test_the_cone_in_the_sweep_is_the_one_asked_for(bench, around, what, vee, face, slope, cutmode):
    """At the face, and 0.2 and 0.4 mm below: within 0.002 mm of the radius, all around."""
    text = bench.text(
        DRILL,
        sink(bench, f"{what}, cutmode: {cutmode}"),
        OUTER,
        shapes=[PLATE, hole(12, 10), hole(45, 28)],
        vee=vee,
        turn=30,
    )
    setup, _, evidence = bench.clean(text)
    for one in (c for c in (loop.circle for loop in setup.pieces[0].loops) if c):
        for deep in (0.0, 0.2, 0.4):
            r = around(evidence.at(-deep - 1e-6).swept(), one.x, one.y, 1.0)
            assert np.abs(r - (face / 2 - deep * slope)).max() < 0.002


@pytest.mark.parametrize("zero", ["sheet_top", "board_top"])
def test_it_is_clean_whichever_face_is_touched_off(bench, zero):
    text = bench.text(
        DRILL, sink(bench, "size: M3"), OUTER, shapes=[PLATE, hole(12, 10)], sheet=f", zero: {{z: {zero}}}"
    )
    bench.clean(text)


def test_before_the_hole_or_after_it_is_the_same(bench):
    for some in ((DRILL, sink(bench, "size: M3")), (sink(bench, "size: M3"), DRILL)):
        bench.clean(bench.text(*some, OUTER, shapes=[PLATE, hole(12, 10)]))


def shifted(by: float):
    """Every Z of a plunge below the face, moved."""
    return lambda t: re.sub(r"Z(-\d+\.\d+)", lambda m: f"Z{float(m[1]) + by:.3f}", t)


SPOILED = [
    ("deeper by 0.02 mm", shifted(-0.02), {"gouge"}),
    ("higher by 0.02 mm", shifted(0.02), {"leftover"}),
    ("a radius of 1.42 for 1.4", lambda t: t.replace("1.400", "1.420").replace("X43.4", "X43.42"), {"gouge"}),
    ("to one side by 0.02 mm", lambda t: re.sub(r"X4([13])\.", lambda m: f"X4{m[1]}.", re.sub(r"X(4\d\.\d)00", r"X\g<1>20", t)), {"gouge", "leftover"}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "codes"),
    [s[1:] for s in SPOILED if "radius" not in s[0]],
    ids=[s[0] for s in SPOILED if "radius" not in s[0]],
)
def test_a_spoiled_countersink_is_found(bench, change, codes):
    setup, texts, _ = bench.clean(bench.text(DRILL, sink(bench, "size: M3"), OUTER, shapes=[PLATE, hole(12, 10)]))
    assert bench.codes(setup, texts, "vee", change) == codes


def test_a_cylinder_half_way_down_the_cone_is_a_gouge(bench):
    """Above and below its floor it lies inside the cone: only just above its own tip it bites into the flank."""
    setup, texts, _ = bench.clean(bench.text(DRILL, sink(bench, "size: M3"), OUTER, shapes=[PLATE, hole(12, 10)]))
    # Ø2 around at 1.6 mm to Z-0.7: radius 2.6 where the cone has 3.15 - 0.7 = 2.45
    ring = "G0 Z8\nX43.6 Y30\nZ2\nG1 Z-0.7 F20\nG3 X40.4 I-1.6 J0 F20\nX43.6 I1.6 J0\nG0 Z8\n"
    for r, wrong in ((1.6, {"gouge"}), (1.4, set())):  # 2.4 stays inside
        some = ring.replace("1.6", f"{r}").replace("43.6", f"{42 + r}").replace("40.4", f"{42 - r}")
        change = lambda t, some=some: t.replace("M5\n", some + "M5\n", 1)  # noqa: E731
        assert bench.codes(setup, texts, "mill", change) == wrong


def test_a_knife_edge_is_never_released(bench):
    """Sheet 3 mm, hole 3.2, face 8.6 mm at 90 degrees: 2.7 mm deep, 0.3 mm left, a tenth of the sheet; 8.62 leaves 0.29."""
    vee = "point_angle: 90, diameter: 12, tip_diameter: 0.2, flute_length: 8"
    for what, ok in (("diameter: 8.6", True), ("diameter: 8.62", False), ("diameter: 8.62, land: 0.25", True)):
        text = bench.text(DRILL, sink(bench, what), OUTER, shapes=[PLATE, hole(12, 10)], vee=vee)
        setup = bench.setup(text)
        found = [f for f in bench.prove(setup, bench.programs(setup)).findings if f.severity == "error"]
        assert ok == (not found)
        if not ok:
            (one,) = found
            assert one.check == "taking"
            assert one.at == (42.0, 30.0)
            assert one.message == (
                "countersink of hatch, copy 1 (operations[1].countersink): a knife edge at the hole of 3.2 mm: "
                "0.290 mm of straight wall is left; allowed: at least 0.3 mm"
            )


REFUSED = [
    ("size: M3", {"shapes": [PLATE, hole(12, 10, 3.2)], "ops": [OUTER]},
     "the circle of 3.2 mm at (42.000, 30.000) is cut through by no operation; allowed: a hole that the job makes"),
    ("diameter: 3", {}, "the circle of 3.2 mm at (42.000, 30.000): a countersink of 3 mm is no wider than the hole"),
    ("size: M5", {}, "the circle of 3.2 mm at (42.000, 30.000): vee makes a countersink of 8.8 mm in it at most, not of 10.4 mm"),
    ("diameter: 5", {"vee": "point_angle: 90, diameter: 10, tip_diameter: 4, flute_length: 5"},
     "the circle of 3.2 mm at (42.000, 30.000): the tip of vee, 4 mm across, does not go into it"),
]  # fmt: skip


@pytest.mark.parametrize(("what", "more", "told"), REFUSED)
def test_what_cannot_be_made_is_refused(bench, what, more, told):
    more = {"shapes": [PLATE, hole(12, 10)], **more}
    operations = more.pop("ops", [DRILL, OUTER])
    text = bench.text(*operations[:-1], sink(bench, what), operations[-1], **more)
    (fault,) = bench.refused(text)
    assert fault.endswith(f"part 'hatch' copy 1: no room: {told}")


def test_a_tip_that_would_go_deep_into_the_board_is_refused(bench):
    """Sheet 2 mm, breakthrough 0.5: a plunge of 8 mm across needs 3.9 mm, the hole of 3.2 lets the tip run 2.6 mm deep."""
    vee = "point_angle: 90, diameter: 12, tip_diameter: 0.2, flute_length: 8"
    text = bench.text(DRILL, sink(bench, "diameter: 8"), OUTER, shapes=[PLATE, hole(12, 10)], vee=vee, thickness=1.9)
    (fault,) = bench.refused(text)
    assert "the tip would go 0.100 mm below the floor of a through cut" in fault


def test_flutes_must_be_as_long_as_the_cut(bench):
    vee = "point_angle: 90, diameter: 6, tip_diameter: 0.2, flute_length: 5, holder: {diameter: 12, above: 1.6}"
    (fault,) = bench.refused(bench.text(DRILL, sink(bench, "size: M3"), OUTER, shapes=[PLATE, hole(12, 10)], vee=vee))
    assert "its holder.above of 1.6 mm is too short: the cut is 1.65 mm deep" in fault
