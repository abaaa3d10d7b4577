"""Ledger: metres along the flute, grooves in the board, worked by hand on a square tag."""

from __future__ import annotations

import math
import re

import attrs
import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.ledger import Ledger, booked, ledger_text, read_ledger
from kerfwright.ledger.flute import added, busy, worst
from kerfwright.ledger.grooves import merged
from kerfwright.ledger.stepping import stepped
from kerfwright.ledger.values import Flute, Groove

JOB = """\
job: tag
machine: light-router
sheet: {material: gfrp, size: [80, 60], thickness: 2, breakthrough: 0.4, board: BOARD, hold: tape}
cutters:
  mill: {form: end_mill, flutes: burr, diameter: 2, flute_length: FLUTE, life: 0.2}
parts:
  - {name: tag, at: [15, 15], shapes: [{rectangle: {corner: [0, 0], size: [30, 30]}}]}
operations:
  - profile: {cutter: mill, select: outer, entry: toolaxis, lead: none}
"""
# The center goes round the square: 4 x 30 + 2 pi 1 = 126.283 mm; down through sheet and board from Z0: 2.4 mm.
CUT = (4 * 30 + 2 * math.pi + 2.4) / 1000
"""Metres."""


@pytest.fixture(scope="module")
def registry() -> kw.Registry:
    return kw.Registry.load()


def job(registry, board="12", flute="8", **other):
    text = JOB.replace("BOARD", board).replace("FLUTE", flute)
    for old, new in other.items():
        text = re.sub(rf"{old}: [\w.]+", f"{old}: {new}", text)
    return kw.load_job("-", registry, text=text)


@pytest.fixture(scope="module")
def made(registry) -> kw.Result:
    return kw.make(job(registry), registry, Ledger())


def flutes(*rows):
    return tuple(Flute(low=a, high=b, cut=c) for a, b, c in rows)


def test_cuts_add_up_along_the_flute():
    """2 m from 0.4 to 2.4, then 1 m from 0 to 1: 1 m below 0.4, 3 m up to 1, 2 m above."""
    first = added((), np.array([2.0, 0.0]), np.array([[0.4, 2.4], [0.0, 9.0]]))
    assert first == flutes((0.4, 2.4, 2.0))
    both = added(first, np.array([0.75, 0.25]), np.array([[0.0, 1.0], [0.0, 1.0]]))
    assert both == flutes((0.0, 0.4, 1.0), (0.4, 1.0, 3.0), (1.0, 2.4, 2.0))
    assert [worst(both, *at) for at in ((0.0, 0.4), (0.3, 2.0), (1.0, 5.0), (2.4, 3.0), (0.7, 0.7))] == [1, 3, 2, 0, 3]
    assert busy(both) == flutes((0.4, 1.0, 3.0), (1.0, 2.4, 2.0))


def test_what_a_job_uses(made):
    """The sheet meets the flute from 0.4 to 2.4 mm above the tip."""
    (use,) = made.cutters
    assert use.cut_length_mm == pytest.approx(1000 * CUT, abs=0.01)
    assert use.life_used == pytest.approx(CUT / 0.2, abs=1e-4)
    assert use.left_m == pytest.approx(0.2 - CUT, abs=1e-5)
    assert [(f.low, f.high) for f in use.flute] == [(0.4, 2.4)]
    assert not [f for f in made.findings if f.check in ("life", "board")]


def test_a_job_is_booked_each_time_it_is_cut(made, registry):
    once = booked(Ledger(), made)
    twice = booked(once, made)
    assert once.cutters[0].cut == pytest.approx(CUT, abs=1e-5)
    assert twice.cutters[0].cut == pytest.approx(2 * CUT, abs=1e-5)
    assert [b.times for b in twice.booked] == [2]
    for ledger in (Ledger(), once, twice):
        text = ledger_text(ledger)
        assert ledger_text(read_ledger("ledger.yaml", text.encode())) == text


def test_grooves_in_the_board(made):
    """Round the square, 2 mm wide, 0.4 mm deep: 4 x 30 x 2 + pi x 4 = 252.57 mm2 of the sheet's 4,800. From the sheet's corner."""
    (board,) = booked(Ledger(), made).boards
    (groove,) = board.grooves
    assert (board.machine, groove.depth) == ("light-router", 0.4)
    assert shapely.area(groove.area) == pytest.approx(252.57, abs=2)
    assert groove.area.bounds == pytest.approx((13, 13, 47, 47), abs=0.1)


def test_a_groove_counts_once_where_it_is_deepest():
    box = shapely.box
    kept = merged([Groove(depth=0.4, area=box(0, 0, 10, 10)), Groove(depth=1.4, area=box(5, 0, 20, 10))])
    assert [(g.depth, shapely.area(g.area)) for g in kept] == [(0.4, 50.0), (1.4, 150.0)]


def test_a_grooved_board_is_told(made, registry):
    again = kw.make(job(registry), registry, booked(Ledger(), made))
    (told,) = [f for f in again.findings if f.check == "board"]
    assert (told.severity, told.message) == (
        "note",
        "the board under sheet 1 is grooved over 5.3 %, 0.4 mm deep",
    )
    thin = kw.make(job(registry, board="1.2"), registry, booked(Ledger(), made))
    (told,) = [f for f in thin.findings if f.check == "board"]
    assert (told.severity, told.message.partition(", and ")[2]) == (
        "warning",
        "less than 1 mm of its 1.2 mm are left there",
    )


def test_the_line_at_which_a_cutter_is_used_up(made, registry):
    """After one booking 0.2 - 0.128683 m are left: the feeds of the text up to that line are more, up to the one before less."""
    again = kw.make(job(registry), registry, booked(Ledger(), made))
    (told,) = [f for f in again.findings if f.check == "life"]
    assert (told.severity, told.program) == ("note", "tag-1-mill.nc")
    assert told.message == (
        "cutter 'mill' does not last: 0.06 m more than its life of 0.2 m; it is used up at line " + str(told.line)
    )
    moves = kw.read(again.programs[0].text, "nist6556", registry)
    feeding = (moves.feeds > 0) & (np.minimum(moves.curve.nodes[:-1, 2], moves.curve.nodes[1:, 2]) < 0)
    length = np.where(feeding, moves.curve.lengths_3d, 0.0)
    before = length[moves.lines < told.line].sum() / 1000
    assert before < 0.2 - CUT < before + length[moves.lines == told.line].sum() / 1000
    worn = kw.make(job(registry), registry, booked(booked(Ledger(), made), made))
    (told,) = [f for f in worn.findings if f.check == "life"]
    assert told.message.endswith("it is used up before this program begins")


def step(made, registry, **other):
    ledger = booked(Ledger(), made)
    result = kw.make(job(registry, **other), registry, ledger)
    return stepped(result, ledger, lambda j: kw.make(j, registry, ledger))


def test_fresh_flute_meets_the_sheet(made, registry):
    """The flute up to 2.4 mm is worn, so the tip goes 2.4 mm into the board; the part stays what it was."""
    result = step(made, registry)
    assert result.ok
    assert result.job.sheet.breakthrough == 2.4
    lowest = result.programs[0].extent[0][2]
    assert lowest == pytest.approx(-4.4)
    (use,) = result.cutters
    assert use.life_used == pytest.approx((CUT + 0.002) / 0.2, abs=1e-4)  # 2 mm deeper down
    (told,) = [f for f in result.findings if f.check == "life"]
    assert told.message.startswith(
        "breakthrough 2.4 mm instead of 0.4 mm, so that fresh flute of 'mill' meets the sheet"
    )
    assert "`breakthrough: 2.4 mm` in the job" in told.message


REFUSED = [
    ({"board": "3.3"}, "it begins at 2.4 mm, too deep for a board of 3.3 mm"),
    ({"flute": "4.3"}, "it begins at 2.4 mm, and 'mill' would have to cut 4.4 mm deep"),
    ({"flute": "2.4", "thickness": "1.9"}, "it begins at 2.4 mm, and 'mill' would have to cut 4.3 mm deep"),
    ({"life": "0.1"}, "no stretch of its flute is fresh enough for all of this job"),
    ({"lead": "none, axial_depth: 1"}, "it cuts in several passes, and its tip does most of them"),
]


@pytest.mark.parametrize(("other", "why"), REFUSED)
def test_where_no_fresh_flute_is_the_job_stays(made, registry, other, why):
    result = step(made, registry, **other)
    assert result.ok
    assert result.job.sheet.breakthrough == 0.4
    told = [f.message for f in result.findings if f.check == "life" and "fresh" in f.message]
    assert told == [f"no fresh flute for 'mill': {why}; change the cutter"]


def test_a_compression_cutter_is_not_stepped(registry):
    first = kw.make(job(registry, flutes="compression"), registry)
    ledger = booked(Ledger(), first)
    result = kw.make(job(registry, flutes="compression"), registry, ledger)
    result = stepped(result, ledger, lambda j: pytest.fail("made again"))
    (told,) = [f.message for f in result.findings if "fresh" in f.message]
    assert "where the up and down flutes of a compression cutter meet must lie in the sheet" in told


def test_a_cutter_with_life_left_is_not_stepped(made, registry):
    assert stepped(made, Ledger(), lambda j: pytest.fail("made again")) is made


def test_another_cutter_by_the_same_name_has_metres_of_its_own(made, registry):
    ledger = booked(
        booked(Ledger(), made), kw.make(job(registry, flutes="compression"), registry, booked(Ledger(), made))
    )
    assert [(c.name, c.kind) for c in ledger.cutters] == [
        ("mill", "burr end_mill of 2 mm"),
        ("mill", "compression end_mill of 2 mm"),
    ]
    assert ledger.cutters[0].cut == pytest.approx(CUT, abs=1e-5)
    assert ledger_text(read_ledger("l.yaml", ledger_text(ledger).encode())) == ledger_text(ledger)


def test_what_was_not_released_is_not_booked(made):
    from kerfwright.finding import Finding

    bad = attrs.evolve(made, findings=(Finding("gouge", "error", "too deep"),))
    with pytest.raises(ValueError, match="tag was not released"):
        booked(Ledger(), bad)


def test_a_machine_without_a_name_keeps_a_board_too(registry):
    """What is written can be read: its board is that of `the machine`."""
    text = JOB.replace("BOARD", "12").replace("FLUTE", "8")
    nameless = "{spindle: {least: 8000, most: 24000}, feed: {xy: 3000, z: 800}, rapid: {xy: 4000, z: 1200}}"
    made = kw.make(kw.load_job("-", registry, text=text.replace("light-router", nameless)), registry)
    ledger = read_ledger("l.yaml", ledger_text(booked(Ledger(), made)).encode())
    assert [(b.machine, g.depth) for b in ledger.boards for g in b.grooves] == [("the machine", 0.4)]
    again = kw.make(made.job, registry, ledger)
    assert [f.check for f in again.findings if f.check == "board"] == ["board"]


def test_a_drill_grooves_the_board_as_deep_as_its_point_goes(registry):
    """1.5 / tan 59 deg = 0.901 mm of point below 0.4 mm: 1.301 mm, kept as 1.4; 3 mm wide."""
    text = JOB.replace("BOARD", "12").replace("FLUTE", "8")
    text = text.replace(
        "cutters:\n", "cutters:\n  bit: {form: drill, diameter: 3, point_angle: 118, flute_length: 12}\n"
    )
    text = text.replace("]}}]}", "]}}, {circle: {center: [15, 15], diameter: 3}}]}")
    text = text.replace("operations:\n", "operations:\n  - drill: {cutter: bit}\n")
    made = kw.make(kw.load_job("-", registry, text=text), registry)
    (board,) = booked(Ledger(), made).boards
    assert [g.depth for g in board.grooves] == [0.4, 1.4]
    assert shapely.area(board.grooves[1].area) == pytest.approx(7.07, abs=0.4)


def test_a_stretch_written_by_hand_is_kept():
    """Finer than a tenth of a millimetre: rather longer than shorter."""
    kept = added(flutes((0.42, 0.44, 5.0)), np.zeros(0), np.zeros((0, 2)))
    assert kept == flutes((0.4, 0.5, 5.0))


def test_a_fine_stretch_written_by_hand_wears_the_cutter(made, registry):
    ledger = booked(Ledger(), made)
    worn = attrs.evolve(ledger.cutters[0], flute=flutes((1.42, 1.44, 9.0)))
    found = kw.make(job(registry), registry, attrs.evolve(ledger, cutters=(worn,))).findings
    assert [f.message.rpartition("; ")[2] for f in found if f.check == "life"] == [
        "it is used up before this program begins"
    ]


def test_a_stretch_beside_this_job_s_that_has_cut_as_much(made, registry):
    """Both are one stretch then, whose middle this job never meets."""
    (use,) = made.cutters
    (flute,) = use.flute
    ledger = booked(Ledger(), made)
    worn = attrs.evolve(ledger.cutters[0], flute=(Flute(low=2.4, high=9.4, cut=flute.cut),))
    short = job(registry, life="0.1")
    found = kw.make(short, registry, attrs.evolve(ledger, cutters=(worn,))).findings
    assert ["it is used up at line" in f.message for f in found if f.check == "life"] == [True]


def test_a_job_that_one_cutter_cannot_cut_is_to_be_divided(registry):
    """0.129 m with a life of 0.1 m: a new cutter would not last either."""
    result = kw.make(job(registry, life="0.1"), registry)
    (told,) = [f for f in result.findings if f.check == "life"]
    assert told.remedy == "divide the job, and change the cutter in between"
