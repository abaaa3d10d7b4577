"""Rules of depth at once, chips, waits, reach, what is restated, and the text, each on a program made by hand.

What must be told is written by hand beside each case; a 2 mm cutter, a sheet of 2 mm, breakthrough 0.4.
"""

from __future__ import annotations

import attrs
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.evidence import Reading
from kerfwright.machine import DustShoe
from kerfwright.operation import Pocket, Profile
from kerfwright.rates import Rates
from kerfwright.strategy import Bridges
from kerfwright.traits import Traits
from kerfwright_plugins.passes.equal import Equal
from kerfwright_plugins.passes.single import Single

SQUARE = [(9.0, 9.0), (31.0, 9.0), (31.0, 31.0), (9.0, 31.0)]
ONE = Rates(18000, 600, 100, 1.0, 0.4, {})
"""Axial depth of 1 mm."""


def plate(bench, rectangle, passes=None, **more):
    return bench.setup([rectangle(10, 10, 30, 30)], [(Profile(cutter=bench.mill, passes=passes), [0])], **more)


def laps(bench, levels):
    hand = bench.Hand().opening().down(9, 9, levels[0]).lap(SQUARE)
    for z in levels[1:]:
        hand.move(100, z=z).lap(SQUARE)
    return hand.closing()


@pytest.mark.parametrize(
    ("levels", "axial", "passes", "codes"),
    [
        ((-0.8, -1.6, -2.4), 1.0, Equal(), set()),
        ((-0.8, -1.6, -2.4), 0.7, Equal(), {"axial_depth"}),
        ((-1.6, -2.4), 1.0, Equal(), {"axial_depth"}),  # the first lost
        ((-0.8, -2.4), 1.0, Equal(), {"axial_depth"}),  # the second lost
        ((-1.6, -0.8, -2.4), 1.0, Equal(), {"axial_depth"}),  # changed about
        ((-2.4,), 1.0, Equal(), {"axial_depth"}),
        ((-2.4,), 1.0, Single(), set()),  # all at once is what the job says
        ((-0.8, -0.8, -1.6, -1.6, -2.4, -2.4), 1.0, Equal(), set()),  # spring passes meet air
        ((-0.3, -0.5, -1.4, -2.3, -2.4), 1.0, Equal(), set()),
    ],
)
def test_how_much_is_met_at_once(bench, rectangle, levels, axial, passes, codes):
    setup = plate(bench, rectangle, passes, rates=attrs.evolve(ONE, axial_depth=axial))
    assert bench.errors(setup, laps(bench, levels)) == codes


def test_a_finishing_lap_at_full_depth_meets_little(bench, rectangle):
    """0.3 mm off the wall in three passes, then once along the wall at the floor: the axis runs in what is gone."""
    off = [(8.7, 8.7), (31.3, 8.7), (31.3, 31.3), (8.7, 31.3)]
    hand = bench.Hand().opening().down(8.7, 8.7, -0.8).lap(off)
    for z in (-1.6, -2.4):
        hand.move(100, z=z).lap(off)
    hand.move(600, 9, 9).lap(SQUARE).closing()
    assert bench.errors(plate(bench, rectangle, Equal(), rates=ONE), hand) == set()


@pytest.mark.parametrize(
    ("feed", "severity"), [(600, None), (300, None), (160, None), (140, "warning"), (70, "warning"), (50, "error")]
)
def test_a_program_that_only_rubs(bench, rectangle, feed, severity):
    """A quarter of 600 is 150, a tenth 60."""
    hand = bench.Hand().opening().down(9, 9, -2.4).lap(SQUARE, feed).closing()
    found = bench.prove(plate(bench, rectangle), hand).findings
    assert [f.severity for f in found if f.check == "chip"] == ([severity] if severity else [])


def test_slow_corners_do_not_rub(bench, rectangle):
    hand = bench.Hand().opening().down(9, 9, -2.4).move(600, 29, 9).move(40, 31, 9).move(40, 31, 11).move(600, 31, 31)
    hand.move(600, 9, 31).move(600, 9, 9).closing()
    assert {f.check for f in bench.prove(plate(bench, rectangle), hand).findings} == {"loose"}  # a note: tape holds it


@pytest.mark.parametrize(
    ("seconds", "where", "codes"),
    [
        (0.5, "cut", {"dwell"}),
        (30.0, "cut", {"dwell"}),
        (30.0, "air", set()),
        (3000.0, "air", {"dwell"}),  # seconds for milliseconds
    ],
)
def test_waits(bench, rectangle, seconds, where, codes):
    hand = bench.Hand().opening()
    if where == "air":
        hand.tell("dwell", seconds)
    hand.down(9, 9, -2.4).move(600, 31, 9)
    if where == "cut":
        hand.tell("dwell", seconds)
    hand.move(600, 31, 31).move(600, 9, 31).move(600, 9, 9).closing()
    assert bench.errors(plate(bench, rectangle), hand) == codes


def test_the_feed_is_judged_by_the_operation_that_is_near(bench, rectangle):
    """Two squares with one cutter, one at 600 and one at 300: 500 is too fast along the second alone."""
    loops = [rectangle(10, 10, 30, 30), rectangle(60, 10, 80, 30)]
    setup = bench.setup(loops, [(Profile(cutter=bench.mill), [0]), (Profile(cutter=bench.mill), [1])])
    slow = attrs.evolve(bench.rates, feed=300)
    setup = attrs.evolve(setup, works=(setup.works[0], attrs.evolve(setup.works[1], rates=slow)))
    for first, other, codes in ((600, 300, set()), (600, 500, {"feed"}), (700, 300, {"feed"}), (500, 200, set())):
        hand = bench.Hand().opening().down(9, 9, -2.4).lap(SQUARE, first).rapid(z=8)
        hand.down(59, 9, -2.4).lap([(x + 50, y) for x, y in SQUARE], other).closing()
        assert bench.errors(setup, hand) == codes, (first, other)


@pytest.mark.parametrize(
    ("outline", "diameter"),
    [
        # two rooms of 10 joined by a neck of 1 mm: a cutter of 1 mm would pass
        ([(20, 20), (30, 20), (30, 24.5), (34, 24.5), (34, 20), (44, 20), (44, 30), (34, 30), (34, 25.5), (30, 25.5), (30, 30), (20, 30)], 1.0),
        ([(20, 20), (44, 20), (44, 30), (20, 30)], None),  # sharp corners alone: no round cutter does those
    ],
)  # fmt: skip
def test_where_the_cutter_is_too_big(bench, rectangle, outline, diameter):
    curve = Curve.line([*outline, outline[0]])
    recess = Pocket(cutter=bench.mill, depth=0.5)
    setup = bench.setup([rectangle(0, 0, 60, 50), curve], [(recess, [1])])
    hand = bench.Hand().opening()
    for x0, x1 in ((21, 29), (35, 43)) if diameter else ((21, 43),):
        hand.down(x0, 21, -0.5)
        for k in range(9):
            hand.move(600, x1 if k % 2 == 0 else x0, 21 + k)
            if k < 8:
                hand.move(600, y=22 + k)
        hand.lap([(x1 if 8 % 2 == 0 else x0, 29), (x0, 29), (x0, 21), (x1, 21)]).rapid(z=8)
    found = [f for f in bench.prove(setup, hand.closing()).findings if f.check == "reach"]
    assert [f.severity for f in found] == (["warning"] if diameter else [])
    for f in found:
        x, y = f.at[:2]
        assert 29.9 <= x <= 34.1
        assert 24.4 <= y <= 25.6
        assert f"at most {diameter:.2f} mm would reach" in f.message or f"at most {diameter - 0.01:.2f}" in f.message


TEXT = "G21\nG17 G90\nM2\n"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (TEXT, []),
        (TEXT.rstrip("\n"), []),  # its end is said
        (TEXT.replace("G17", "G17\x07"), [2]),
        (TEXT.replace("G17", "G17\u00e9"), [2]),
        (TEXT.replace("M2", "(" + "x" * 99 + ")\nM2"), [3]),
        (TEXT.replace("\n", "\r\n"), []),
    ],
)
def test_the_text(bench, rectangle, text, lines):
    clean = laps(bench, (-2.4,)).reading()
    reading = Reading(
        clean.file, clean.kind, text, clean.moves, cutter=None, traits=Traits(language="hand", block_length=100)
    )
    found = [f for f in bench.prove(plate(bench, rectangle), reading).findings if f.check == "text"]
    assert [f.line for f in found] == lines


def test_the_work_offset_is_the_dialects(bench, rectangle):
    """What the dialect does not name is the operator's; but where it names one, no other and no silence is taken."""
    for said, wanted, codes in (
        (1, 1, set()),
        (2, 1, {"modes"}),
        (None, 1, {"modes"}),
        (2, 0, set()),
        (None, 0, set()),
    ):
        hand = bench.Hand()
        if said is not None:
            hand.tell("units", "mm").tell("work_offset", said)
        hand.opening().down(9, 9, -2.4).lap(SQUARE).closing()
        r = hand.reading()
        reading = Reading(r.file, r.kind, "", r.moves, traits=Traits(language="hand", work_offset=wanted))
        assert bench.errors(plate(bench, rectangle), reading) == codes, (said, wanted)


def test_every_compensation_is_cancelled(bench, rectangle):
    r = laps(bench, (-2.4,)).reading()
    for count, codes in ((1, set()), (2, {"modes"})):
        reading = Reading(r.file, r.kind, "", r.moves, traits=Traits(language="hand", compensations=count))
        assert bench.errors(plate(bench, rectangle), reading) == codes


def test_the_box_of_a_rapid_holds_nut_and_shoe_too(bench, rectangle):
    """Off the straight way from (9, 9) to (60, 60), in the box, 5 mm from its edge: a shoe of 20 mm comes in."""
    tall = [(shapely.box(50, 0, 55, 4), 9.5)]
    for shoe, codes in (
        (None, set()),
        (DustShoe(diameter=20, above=0), {"keepout"}),
        (DustShoe(diameter=20, above=3), set()),
    ):
        machine = bench.router_with(rapids="independent", dust_shoe=shoe)
        hand = bench.Hand().opening().down(9, 9, -2.4).lap(SQUARE).rapid(z=8).rapid(60, 60).closing()
        assert bench.errors(plate(bench, rectangle, machine=machine, keepouts=tall), hand) == codes, shoe


def test_a_screw_that_goes_with_the_piece_does_not_hold_the_sheet(bench, rectangle):
    """One screw in the square that is cut free: what holds the sheet around it was not named. A second one does."""
    within, beside = shapely.Point(20, 20).buffer(3), shapely.Point(90, 80).buffer(3)
    for keepouts, codes in (([within], {"loose"}), ([within, beside], set())):
        setup = plate(bench, rectangle, hold="screws", keepouts=[(one, 5.0) for one in keepouts])
        assert bench.errors(setup, laps(bench, (-2.4,))) == codes


def test_a_counted_bridge_cut_through_is_an_error(bench, rectangle):
    """Three of four stand: one side was cut through."""

    @attrs.frozen(kw_only=True)
    class Four(Bridges):
        count: int = 4

    def lap(cut_through):
        hand = bench.Hand().opening().down(9, 9, -2.4)
        for k, ((x0, y0), (x1, y1)) in enumerate(zip(SQUARE, [*SQUARE[1:], SQUARE[0]])):
            (mx, my), (dx, dy) = ((x0 + x1) / 2, (y0 + y1) / 2), ((x1 - x0) / 22, (y1 - y0) / 22)
            hand.move(600, mx - 1.4 * dx, my - 1.4 * dy)
            if k not in cut_through:
                hand.move(600, z=-1.5)
            hand.move(600, mx + 1.4 * dx, my + 1.4 * dy).move(100, z=-2.4).move(600, x1, y1)
        return hand.closing()

    setup = plate(bench, rectangle, hold="screws", bridges=Four(width=0.8, thickness=0.5))
    for cut_through, codes in (((), set()), ((1,), {"bridge"}), ((0, 2), {"bridge"})):
        assert bench.errors(setup, lap(cut_through)) == codes


def test_every_finding_says_what_to_do(bench, rectangle):
    """Each check has a remedy of its own, and what is found carries it."""
    remedies = [check.remedy for check in bench.registry.checks.values()]
    assert all(remedies)
    assert len(set(remedies)) == len(remedies)
    found = bench.prove(plate(bench, rectangle), laps(bench, (-1.5,))).findings
    assert found
    assert all(f.remedy for f in found)
