"""Gouge, leftover and not through, on shapes whose distances are known by hand."""

from __future__ import annotations

import math

import pytest

from kerfwright.curve import Curve
from kerfwright.operation import Drill, Pocket, Profile

SQUARE = [(9.0, 9.0), (31.0, 9.0), (31.0, 31.0), (9.0, 31.0)]  # a 2 mm cutter around 10..30
FLOOR = -2.4


def outer(bench, rectangle, **more):
    return bench.setup([rectangle(10, 10, 30, 30)], [(Profile(cutter=bench.mill), [0])], **more)


def around(bench, corners=SQUARE, floor=FLOOR):
    hand = bench.Hand().opening().down(*corners[0], -1.2).lap(corners).move(100, z=floor).lap(corners)
    return hand.closing()


def only(proof):
    return {f.check for f in proof.findings if f.severity == "error"} & {"gouge", "leftover", "not_through", "too_deep"}


def test_a_square_cut_all_around_is_clean(bench, rectangle):
    proof = bench.prove(outer(bench, rectangle), around(bench))
    assert only(proof) == set()
    (part,) = proof.parts
    assert part.worst_gouge_mm == pytest.approx(0, abs=0.001)
    assert part.worst_leftover_mm == pytest.approx(0, abs=0.001)


def test_a_lap_too_near_gouges_by_the_distance(bench, rectangle):
    near = [(9.0, 9.0), (30.93, 9.0), (30.93, 31.0), (9.0, 31.0)]  # 0.07 inside on the right
    proof = bench.prove(outer(bench, rectangle), around(bench, near))
    assert only(proof) == {"gouge"}
    (part,) = proof.parts
    assert part.worst_gouge_mm == pytest.approx(0.07, abs=0.001)
    (f,) = [f for f in proof.findings if f.check == "gouge"]
    assert "0.070 mm" in f.message
    assert f.at[0] == pytest.approx(30, abs=0.001)
    assert f.line in (15, 16)  # the lap's first side ends where its second, the right one, starts


def test_a_lap_too_far_leaves_the_distance(bench, rectangle):
    far = [(9.0, 9.0), (31.04, 9.0), (31.04, 31.0), (9.0, 31.0)]
    proof = bench.prove(outer(bench, rectangle), around(bench, far))
    assert only(proof) == {"leftover"}
    assert proof.parts[0].worst_leftover_mm == pytest.approx(0.04, abs=0.001)


def test_what_is_within_a_hundredth_of_tolerance_passes(bench, rectangle):
    near = [(9.0, 9.0), (30.997, 9.0), (30.997, 31.0), (9.0, 31.0)]
    proof = bench.prove(outer(bench, rectangle), around(bench, near))
    assert only(proof) == set()
    assert proof.parts[0].worst_gouge_mm == pytest.approx(0.003, abs=0.0005)


@pytest.mark.parametrize(("floor", "codes"), [(-1.9, {"not_through"}), (-2.0, set()), (-2.4, set())])
def test_depth_of_a_through_cut(bench, rectangle, floor, codes):
    proof = bench.prove(outer(bench, rectangle), around(bench, floor=floor))
    assert only(proof) == codes
    warned = {f.check for f in proof.findings if f.severity == "warning"}
    assert ("not_through" in warned) == (floor == -2.0)


def test_a_missing_program_leaves_all(bench, rectangle):
    proof = bench.prove(outer(bench, rectangle), bench.Hand().opening().closing())
    assert "leftover" in only(proof)
    assert any("nothing of it is cut" in f.message for f in proof.findings)


def test_a_cut_through_the_middle_of_a_part(bench, rectangle):
    hand = around(bench)
    hand.events.pop()
    hand.down(19, 20, -0.3).move(600, 21, 20).closing()
    proof = bench.prove(outer(bench, rectangle), hand)
    assert only(proof) == {"gouge"}
    assert proof.parts[0].worst_gouge_mm == pytest.approx(0.3, abs=0.001)  # lifted by that much it would be clear


def hole(bench, radius=5.0):
    return bench.setup([Curve.circle(40, 40, radius)], [(Profile(cutter=bench.mill, waste="inside"), [0])])


def bore(bench, radius, floor=FLOOR):
    return bench.Hand().opening().down(40 + radius, 40, floor).circle(40, 40, radius).closing()


@pytest.mark.parametrize(
    ("radius", "codes", "gouge", "left"),
    [(4.0, set(), 0, 0), (4.02, {"gouge"}, 0.02, 0), (3.98, {"leftover"}, 0, 0.02)],
)
def test_a_bore_in_closed_form(bench, radius, codes, gouge, left):
    proof = bench.prove(hole(bench), bore(bench, radius))
    assert only(proof) == codes
    assert proof.parts[0].worst_gouge_mm == pytest.approx(gouge, abs=0.001)
    assert proof.parts[0].worst_leftover_mm == pytest.approx(left, abs=0.001)


def test_corners_that_no_round_cutter_reaches_are_no_leftover(bench, rectangle):
    setup = bench.setup([rectangle(10, 10, 30, 30)], [(Profile(cutter=bench.mill, waste="inside"), [0])])
    inside = [(11.0, 11.0), (29.0, 11.0), (29.0, 29.0), (11.0, 29.0)]
    assert only(bench.prove(setup, around(bench, inside))) == set()


def pocket(bench, rectangle):
    loops = [rectangle(5, 5, 30, 30), rectangle(10, 10, 20, 13.6)]
    return bench.setup(loops, [(Pocket(cutter=bench.mill, depth=0.8), [1])])


ROWS = [(11.0, 11.0), (19.0, 11.0), (19.0, 12.6), (11.0, 12.6)]  # 1.6 apart: two rows meet in the middle


def clear(bench, rows=ROWS, z=-0.8):
    return bench.Hand().opening().down(*rows[0], z).lap(rows).closing()


@pytest.mark.parametrize(
    ("rows", "z", "codes"),
    [
        (ROWS, -0.8, set()),
        (ROWS, -0.78, {"leftover"}),  # 0.02 above the floor
        (ROWS, -0.83, {"gouge", "too_deep"}),  # 0.03 below it
        (ROWS[:2], -0.8, {"leftover"}),  # a row is missing
        ([(11.0, 11.0), (19.0, 11.0), (19.0, 12.63), (11.0, 12.63)], -0.8, {"gouge"}),
    ],
)
def test_a_pocket(bench, rectangle, rows, z, codes):
    assert only(bench.prove(pocket(bench, rectangle), clear(bench, rows, z))) == codes


def test_a_ridge_between_rows_is_told_by_its_distance(bench, rectangle):
    setup = bench.setup([rectangle(10, 10, 20, 14.2)], [(Pocket(cutter=bench.mill, depth=0.8), [0])])
    rows = [(11.0, 11.0), (19.0, 11.0), (19.0, 13.2), (11.0, 13.2)]  # 2.2 apart: a ridge of 0.2, 0.1 from each side
    proof = bench.prove(setup, clear(bench, rows))
    assert only(proof) == {"leftover"}
    assert proof.parts[0].worst_leftover_mm == pytest.approx(0.1, abs=0.002)


def test_a_drill_counts_at_its_full_diameter(bench, rectangle):
    setup = bench.setup([rectangle(30, 30, 50, 50), Curve.circle(40, 40, 1.5)], [(Drill(cutter=bench.drill), [1])])
    point = 1.5 / math.tan(math.radians(59))

    def drilled(z, x=40.0):
        return bench.Hand(cutter=2).opening().down(x, 40, z).rapid(z=8.0).closing()

    assert only(bench.prove(setup, drilled(-2.4 - point))) == set()
    assert only(bench.prove(setup, drilled(-2.4))) == {"not_through"}
    assert only(bench.prove(setup, drilled(-2.4 - point, 40.05))) == {"gouge", "leftover"}


@pytest.mark.parametrize(("by", "codes"), [(0.0, set()), (0.03, {"gouge", "leftover"})])
def test_a_line_goes_by_the_width_of_the_cutter(bench, rectangle, by, codes):
    loops = [rectangle(5, 5, 50, 50), rectangle(10, 10, 30, 30)]
    setup = bench.setup(loops, [(Profile(cutter=bench.mill, waste="line", depth=0.5), [1])])
    on = [(10.0, 10.0), (30.0 + by, 10.0), (30.0 + by, 30.0), (10.0, 30.0)]
    hand = bench.Hand().opening().down(*on[0], -0.5).lap(on).closing()
    assert only(bench.prove(setup, hand)) == codes
