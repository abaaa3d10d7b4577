"""What depends on the order of cuts: freed chunks, holes that a rapid may enter, material that begins deeper."""

from __future__ import annotations

import re

import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.operation import Pocket, Profile

SQUARE = [(9.0, 9.0), (31.0, 9.0), (31.0, 31.0), (9.0, 31.0)]
FLOOR = -2.4


def lap(hand, corners, z=FLOOR):
    return hand.down(*corners[0], z).lap(corners).rapid(z=8.0)


def plate(bench, rectangle, hold, **more):
    loops = [rectangle(10, 10, 30, 30), Curve.circle(20, 20, 4)]
    operations = [(Profile(cutter=bench.mill, waste="inside"), [1]), (Profile(cutter=bench.mill), [0])]
    return bench.setup(loops, operations, hold=hold, **more)


def bore(hand):
    return hand.down(23, 20, FLOOR).circle(20, 20, 3).rapid(z=8.0)


def inner_first(bench):
    return lap(bore(bench.Hand().opening()), SQUARE).closing()


def outer_first(bench):
    return bore(lap(bench.Hand().opening(), SQUARE)).closing()


@pytest.mark.parametrize(
    ("hold", "program", "codes"),
    [
        ("tape", inner_first, set()),
        ("tape", outer_first, set()),
        ("vacuum", outer_first, set()),
        ("screws", inner_first, {"loose"}),
        ("screws", outer_first, {"loose", "freed_cut"}),
        ("frame", outer_first, {"loose", "freed_cut"}),
    ],
)
def test_a_cut_in_a_freed_piece(bench, rectangle, hold, program, codes):
    assert bench.errors(plate(bench, rectangle, hold), program(bench)) == codes


def area(finding):
    return float(re.search(r"([0-9.]+) mm2", finding.message)[1])


def test_loose_chunks_are_told_with_their_size(bench, rectangle):
    proof = bench.prove(plate(bench, rectangle, "screws"), inner_first(bench))
    told = {f.message.split(" of ")[0]: area(f) for f in proof.findings if f.check == "loose"}
    # the slug is pi 2 x 2; what comes out of the outline's cut is the square, the hole in it not counted
    assert told == {"a slug": pytest.approx(12.57, abs=0.1), "plate, copy 1,": pytest.approx(400, abs=0.3)}
    assert proof.parts[0].held_by == "nothing"


def test_under_tape_small_chunks_are_noted(bench, rectangle):
    proof = bench.prove(plate(bench, rectangle, "tape"), inner_first(bench))
    (note,) = [f for f in proof.findings if f.check == "loose"]
    assert note.severity == "note"
    assert "the smallest 12.5 mm2" in note.message  # pi 2 x 2 = 12.57, the sweeps grown by 0.002
    assert proof.parts[0].held_by == "tape"


def test_a_screw_in_a_piece_holds_it(bench, rectangle):
    screw = [(shapely.Point(14, 14).buffer(2), 4.0)]
    proof = bench.prove(plate(bench, rectangle, "screws", keepouts=screw), outer_first(bench))
    assert {f.check for f in proof.findings if f.severity == "error"} == {"loose"}  # the slug still is
    assert proof.parts[0].held_by == "keepout"


def test_a_slug_cut_to_dust_is_not_loose(bench, rectangle):
    loops = [rectangle(10, 10, 30, 30), Curve.circle(20, 20, 2)]
    setup = bench.setup(loops, [(Profile(cutter=bench.mill, waste="inside"), [1])], hold="screws")
    hand = bench.Hand().opening().down(21, 20, FLOOR).circle(20, 20, 1).closing()
    assert bench.errors(setup, hand) == set()


def test_a_cut_that_runs_off_the_sheet_frees_its_corner(bench, rectangle):
    setup = bench.setup([rectangle(-1, -1, 20, 20)], [(Profile(cutter=bench.mill), [0])], hold="screws")
    hand = bench.Hand().opening().down(21, -3, FLOOR).move(600, 21, 21).move(600, -3, 21).closing()
    found = bench.prove(setup, hand).findings
    (loose,) = [f for f in found if f.check == "loose"]
    assert area(loose) == pytest.approx(400, abs=0.3)


def pecks(bench, second):
    hand = bench.Hand(cutter=2).opening().rapid(40, 40, 8.0).rapid(z=2.0)
    return hand.move(100, z=-1.0).rapid(z=2.0).rapid(z=second).move(100, z=-3.302).closing()


@pytest.mark.parametrize(("second", "codes"), [(-0.5, set()), (-0.999, set()), (-1.2, {"rapid"})])
def test_a_rapid_into_a_hole_stops_above_its_bottom(bench, rectangle, second, codes):
    from kerfwright.operation import Drill

    loops = [rectangle(30, 30, 50, 50), Curve.circle(40, 40, 1.5)]
    assert bench.errors(bench.setup(loops, [(Drill(cutter=bench.drill), [1])]), pecks(bench, second)) == codes


def steps(bench, rectangle):
    loops = [rectangle(5, 5, 35, 35), rectangle(10, 10, 20, 13.6)]
    first = Pocket(cutter=bench.mill, depth=0.8)
    return bench.setup(loops, [(first, [1]), (Pocket(cutter=bench.mill, start=0.8, depth=1.6), [1])])


ROWS = [(11.0, 11.0), (19.0, 11.0), (19.0, 12.6), (11.0, 12.6)]


@pytest.mark.parametrize(
    ("depths", "codes"), [((-0.8, -1.6), set()), ((-1.6,), {"from_depth"}), ((-1.6, -0.8), {"from_depth"})]
)
def test_material_begins_where_something_was_removed_before(bench, rectangle, depths, codes):
    hand = bench.Hand().opening()
    for z in depths:
        lap(hand, ROWS, z)
    assert bench.errors(steps(bench, rectangle), hand.closing()) == codes


def test_stock_is_carried_from_one_program_to_the_next(bench, rectangle):
    first = lap(bench.Hand().opening(), ROWS, -0.8).closing()
    second = lap(bench.Hand().opening(), ROWS, -1.6).closing()
    assert bench.errors(steps(bench, rectangle), first, second) == set()
    assert bench.errors(steps(bench, rectangle), second, first) == {"from_depth"}


def test_a_groove_around_a_piece_is_not_cut_through(bench, rectangle):
    loops = [rectangle(10, 10, 30, 30), Curve.circle(20, 20, 4)]
    operations = [(Profile(cutter=bench.mill, depth=0.5), [0]), (Profile(cutter=bench.mill, waste="inside"), [1])]
    setup = bench.setup(loops, operations)
    good = bore(lap(bench.Hand().opening(), SQUARE, -0.5)).closing()
    assert bench.errors(setup, good) == set()
    assert bench.errors(setup, bore(lap(bench.Hand().opening(), SQUARE, -0.6)).closing()) == {"gouge"}


def test_a_hole_that_the_cutter_cannot_enter_is_told(bench, rectangle):
    loops = [rectangle(10, 10, 30, 30), Curve.circle(20, 20, 0.9)]
    setup = bench.setup(loops, [(Profile(cutter=bench.mill, waste="inside"), [1])])
    proof = bench.prove(setup, bench.Hand().opening().closing())
    assert any(f.check == "leftover" and "2 mm cannot get in" in f.message for f in proof.findings)


def test_a_cut_far_from_every_piece_is_not_of_this_job(bench, rectangle):
    setup = plate(bench, rectangle, "tape")
    far = lap(inner_first(bench), [(60.0, 60.0), (70.0, 60.0), (70.0, 70.0)], -1.0).closing()
    assert "stray" in bench.errors(setup, far)
    assert "stray" not in bench.errors(
        setup, lap(inner_first(bench), [(34.0, 9.0), (36.0, 9.0), (35.0, 12.0)], -1.0).closing()
    )
