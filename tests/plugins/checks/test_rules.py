"""Every rule on a program made by hand, spoiled in one place: the codes that must be told are written by hand."""

from __future__ import annotations

import attrs
import pytest
import shapely

from kerfwright.cutter import Holder
from kerfwright.errors import CannotRead
from kerfwright.evidence import Reading
from kerfwright.machine import DustShoe, Spindle
from kerfwright.operation import Profile
from kerfwright.strategy import Bridges
from kerfwright_plugins.bridges.spacing import Spacing

CLEAN = """
units mm
distance absolute
plane xy
feed_mode per_minute
path exact_path
offset off
work_offset 1
cutter 1
rapid - - 8
rapid 9 9 -
speed 18000
spindle clockwise
dwell 3
rapid - - 2
100 - - -1.2
600 31 9 -
600 31 31 -
600 9 31 -
600 9 9 -
100 - - -2.4
600 18.6 9 -
600 - - -1.5
600 21.4 9 -
100 - - -2.4
600 31 9 -
600 31 31 -
600 21.4 31 -
600 - - -1.5
600 18.6 31 -
100 - - -2.4
600 9 31 -
600 9 9 -
rapid - - 8
spindle off
dwell 5
end
""".strip().splitlines()
"""A 2 mm cutter around a square of 20 mm, two bridges 0.8 wide and 0.5 thick in a sheet of 2 mm."""


PLACE = ("rapid - - 8", "rapid 9 9 -")
"""What is said again after a stop."""


def said(bench, lines):
    return bench.said(lines)


def sheet(bench, rectangle, **more):
    more = {"hold": "screws", "bridges": Bridges(width=0.8, thickness=0.5), **more}
    return bench.setup([rectangle(10, 10, 30, 30)], [(Profile(cutter=bench.mill), [0])], **more)


def swap(old, *new, at=0):
    """The program with one line put in place of another; none takes it out."""
    k = [i for i, line in enumerate(CLEAN) if line == old][at]
    return [*CLEAN[:k], *new, *CLEAN[k + 1 :]]


def test_the_program_is_clean(bench, rectangle):
    proof = bench.prove(sheet(bench, rectangle), said(bench, CLEAN))
    assert proof.findings == ()
    (part,) = proof.parts
    assert part.held_by == "2 bridges"
    assert part.worst_gouge_mm <= 0.001
    assert part.worst_leftover_mm <= 0.001


@pytest.mark.parametrize(
    ("spacing", "told"), [(20.0, ["error"]), (26.0, ["error"]), (28.0, ["error"]), (35.0, ["error"]), (45.0, [])]
)
def test_a_gap_of_more_than_one_and_a_half_spacings_is_an_error(bench, rectangle, spacing, told):
    """A bridge in the middle of two sides of 20: 40 from one to the next, the sides between them empty. The way around is
    86.3 long: for 28 it asks for four, 21.6 apart, for 35 for three, 28.8 apart, for 45 for two.
    """
    asked = Spacing(width=0.8, thickness=0.5, spacing=spacing)
    found = bench.prove(sheet(bench, rectangle, bridges=asked), said(bench, CLEAN)).findings
    assert [(f.check, f.severity) for f in found] == [("bridge", severity) for severity in told]
    for f in found:
        wide = "2 bridges stand where 3 are asked for" if spacing == 35 else "40.0 mm from one bridge to the next"
        assert wide in f.message


@pytest.mark.parametrize(
    ("until", "told"), [(21.4, None), (21.6, None), (22.0, "warning"), (23.0, "warning"), (27.0, "error")]
)
def test_a_bridge_that_is_wider_than_declared_holds_and_is_told(bench, rectangle, until, told):
    """From 18.6 to 21.4 the waist is 0.8; as wide as two with 2 mm beside each, 5.9 and 2 mm more for the cutter, it may be."""
    lines = swap("600 21.4 9 -", f"600 {until:g} 9 -")
    proof = bench.prove(sheet(bench, rectangle), said(bench, lines))
    found = {f.severity for f in proof.findings if f.check == "bridge"}
    assert found == ({told} if told else set())
    assert proof.ok == (told != "error")


SPOILED = [
    # units, modes
    ("units lost", swap("units mm"), {"modes"}),
    ("units late", [CLEAN[1], CLEAN[0], *CLEAN[2:]], {"modes"}),
    ("units with others", swap("distance absolute", "same", "distance absolute"), {"modes"}),
    ("units changed", swap("dwell 3", "dwell 3", "units inch"), {"modes"}),
    ("incremental", swap("distance absolute", "distance incremental"), {"modes"}),
    ("distance lost", swap("distance absolute"), {"modes"}),
    ("another plane", swap("plane xy", "plane xz"), {"modes"}),
    ("inverse time", swap("feed_mode per_minute", "feed_mode inverse_time"), {"modes"}),
    ("corners rounded", swap("path exact_path", "path continuous"), {"modes"}),
    ("compensation on", swap("offset off", "offset off", "offset on"), {"modes"}),
    # start, end
    ("across before up", [*CLEAN[:8], CLEAN[9], CLEAN[8], *CLEAN[10:]], {"start"}),
    ("first height too low", swap("rapid - - 8", "rapid - - 1"), {"start"}),
    ("all at once", swap("rapid - - 8", "rapid 9 9 8"), {"start", "rapid_descent"}),
    ("end lost", CLEAN[:-1], {"end"}),
    ("last lift lost", swap("rapid - - 8", at=1), {"end", "spindle"}),
    ("last lift too low", swap("rapid - - 8", "rapid - - 3", at=1), {"end", "spindle"}),
    ("spindle left on", swap("spindle off"), {"end"}),
    # spindle
    ("spindle lost", swap("spindle clockwise"), {"spindle"}),
    ("dwell lost", swap("dwell 3"), {"spindle"}),
    ("dwell too short", swap("dwell 3", "dwell 2"), {"spindle"}),
    ("other way round", swap("spindle clockwise", "spindle counterclockwise"), {"spindle"}),
    ("too fast for the spindle", swap("speed 18000", "speed 30000"), {"spindle"}),
    ("spindle stopped in the sheet", [*CLEAN[:-4], "spindle off", "rapid - - 8", *CLEAN[-2:]], {"spindle"}),
    ("not the rates", swap("speed 18000", "speed 12000"), {"spindle"}),
    ("speed lost", swap("speed 18000"), {"spindle"}),
    ("a stop while it turns", swap("100 - - -2.4", "pause look", *CLEAN[:6], "100 - - -2.4"), {"spindle", "restated"}),
    # feeds
    ("feed doubled", swap("600 31 9 -", "1200 31 9 -"), {"feed"}),
    ("feed a little high", swap("600 31 9 -", "602 31 9 -"), {"feed"}),
    ("plunge at feed", swap("100 - - -1.2", "600 - - -1.2"), {"feed"}),
    ("feed beyond the machine", swap("rapid 9 9 -", "2500 9 9 -"), {"feed"}),
    # depths
    ("too high", [v.replace("-2.4", "-1.9") for v in CLEAN], {"not_through"}),
    ("too deep", [v.replace("-2.4", "-2.6") for v in CLEAN], {"too_deep"}),
    ("through the board", [v.replace("-2.4", "-14.5") for v in CLEAN], {"too_deep", "cutter"}),
    # bridges
    ("one bridge cut off", swap("600 - - -1.5"), {"bridge"}),
    ("all bridges cut off", [v for v in CLEAN if v != "600 - - -1.5"], {"bridge", "loose"}),
    ("a bridge too thin", swap("600 - - -1.5", "600 - - -1.7"), {"bridge"}),
    ("a bridge too narrow", swap("600 21.4 9 -", "600 21 9 -"), {"bridge"}),
    ("a bridge too long", swap("600 21.4 9 -", "600 28 9 -"), {"bridge", "leftover"}),
    ("a bridge too thick", swap("600 - - -1.5", "600 - - -1.3"), {"leftover", "bridge"}),
    # shape
    ("one way of the first lap shifted", swap("600 31 31 -", "600 31 30.9 -"), {"gouge"}),
    ("one way of the last lap shifted", swap("600 31 31 -", "600 31 31.1 -", at=1), {"leftover"}),
    ("one way lost", swap("600 31 31 -", at=1), {"gouge", "leftover"}),
    ("the last lap lost", [*CLEAN[:19], *CLEAN[32:]], {"not_through"}),
    # rapids
    ("rapid into the sheet", swap("rapid - - 2", "rapid - - -1"), {"rapid"}),
    ("rapid too near the sheet", swap("rapid - - 2", "rapid - - 0.5"), {"rapid"}),
    ("rapid across in the sheet", swap("600 31 9 -", "rapid 31 9 -"), {"rapid"}),
    ("lift too low", [*CLEAN[:-4], "rapid - - 1", "rapid 40 40 -", *CLEAN[-4:]], {"rapid"}),
    ("down and across", [*CLEAN[:-4], "rapid - - 20", "rapid 40 40 8", *CLEAN[-3:]], {"rapid_descent"}),
    # cutter
    ("a cutter the job does not have", swap("cutter 1", "cutter 7"), {"cutter", "leftover", "bridge"}),
    ("a cutter of another operation", swap("cutter 1", "cutter 2"), {"cutter"}),
]


@pytest.mark.parametrize(("lines", "codes"), [row[1:] for row in SPOILED], ids=[row[0] for row in SPOILED])
def test_spoiled_in_one_place(bench, rectangle, lines, codes):
    assert bench.errors(sheet(bench, rectangle), said(bench, lines)) >= codes
    if codes.isdisjoint({"cutter"}):
        assert bench.errors(sheet(bench, rectangle), said(bench, lines)) == codes


SCREW = shapely.Point(38, 20).buffer(3)  # 7 mm from the piece's right cut to the screw's center

PLACES = [
    ("a screw far enough", {"keepouts": [(SCREW, 5.0)]}, {}, set()),
    ("a screw in the way", {"keepouts": [(shapely.Point(33, 20).buffer(3), 5.0)]}, {}, {"keepout"}),
    ("a keepout that lies lower", {"keepouts": [(shapely.Point(33, 20).buffer(3), -2.45)]}, {}, set()),
    (
        "a screw in the way of the nut",
        {"keepouts": [(SCREW, 5.0)]},
        {"holder": Holder(diameter=20, above=6)},
        {"keepout"},
    ),
    ("a nut above it", {"keepouts": [(SCREW, 5.0)]}, {"holder": Holder(diameter=20, above=8)}, set()),
    ("a nut into the sheet", {}, {"holder": Holder(diameter=20, above=2)}, {"cutter"}),
    ("flutes too short", {}, {"flute_length": 2.0}, {"cutter"}),
    ("flutes too short, but a neck", {}, {"flute_length": 2.0, "reach": 4.0}, set()),
]


@pytest.mark.parametrize(("more", "cutter", "codes"), [row[1:] for row in PLACES], ids=[row[0] for row in PLACES])
def test_keepouts_and_reach(bench, rectangle, more, cutter, codes):
    mill = attrs.evolve(bench.mill, **cutter)
    more = {"hold": "screws", "bridges": Bridges(width=0.8, thickness=0.5), **more}
    loops = [rectangle(10, 10, 30, 30)]
    setup = bench.setup(loops, [(Profile(cutter=mill), [0])], cutters=(mill, bench.drill), **more)
    assert bench.errors(setup, said(bench, CLEAN)) == codes


def test_a_dust_shoe_keeps_out_too(bench, rectangle):
    for above, codes in ((3.0, {"keepout"}), (9.0, set())):
        machine = bench.router_with(dust_shoe=DustShoe(diameter=60, above=above))
        setup = sheet(bench, rectangle, machine=machine, keepouts=[(SCREW, 5.0)])
        assert bench.errors(setup, said(bench, CLEAN)) == codes


def test_a_rapid_whose_axes_come_apart_sweeps_a_box(bench, rectangle):
    across = [*CLEAN[:-4], "rapid - - 8", "rapid 60 60 -", *CLEAN[-3:]]
    tall = [(shapely.box(50, 15, 55, 20), 9.0)]  # taller than the travel plane: off the straight way, in the box
    for rapids, codes in (("coordinated", set()), ("independent", {"keepout"})):
        setup = sheet(bench, rectangle, machine=bench.router_with(rapids=rapids), keepouts=tall)
        assert bench.errors(setup, said(bench, across)) == codes


@pytest.mark.parametrize(
    ("travel", "codes"), [((23, 23, 11), set()), ((21, 30, 30), {"machine_travel"}), ((30, 30, 10), {"machine_travel"})]
)
def test_machine_travel(bench, rectangle, travel, codes):
    machine = bench.router_with(travel=tuple(float(v) for v in travel))
    assert bench.errors(sheet(bench, rectangle, machine=machine), said(bench, CLEAN)) == codes


@pytest.mark.parametrize(
    ("lines", "codes"),
    [
        (CLEAN, {"start"}),
        (swap("rapid - - 8", "pause bring the cutter over the zero", *CLEAN[:6], "rapid - - 8"), set()),
    ],
)
def test_a_machine_without_reference_switches_stops_first(bench, rectangle, lines, codes):
    assert bench.errors(sheet(bench, rectangle, machine=bench.router_with(home=False)), said(bench, lines)) == codes


@pytest.mark.parametrize(
    ("lines", "codes"),
    [
        (CLEAN, {"spindle"}),
        (swap("speed 18000", "pause extraction on, 18000 rpm", *CLEAN[:6], *PLACE, "speed 18000"), set()),
        (swap("speed 18000", "pause extraction on, 1800 rpm", *CLEAN[:6], *PLACE, "speed 18000"), {"spindle"}),
    ],
)
def test_a_speed_set_by_hand_is_asked_for(bench, rectangle, lines, codes):
    machine = bench.router_with(spindle=Spindle(least=8000, most=24000, wake_s=3, run_down_s=5, by_hand=True))
    assert bench.errors(sheet(bench, rectangle, machine=machine), said(bench, lines)) == codes


def test_a_stop_with_all_its_words_is_clean(bench, rectangle):
    begin = ["speed 18000", "spindle clockwise", "dwell 3"]
    stop = ["rapid - - 8", "spindle off", "dwell 5", "pause look", *CLEAN[:6], *begin, *PLACE]
    lines = [*CLEAN[:19], *stop, "rapid - - 2", *CLEAN[19:]]
    assert bench.errors(sheet(bench, rectangle), said(bench, lines)) == set()
    for lost in ("spindle off", "dwell 5", "dwell 3"):
        short = [*CLEAN[:19], *[v for v in stop if v != lost], "rapid - - 2", *CLEAN[19:]]
        assert bench.errors(sheet(bench, rectangle), said(bench, short)) == {"spindle"}
    for lost in CLEAN[:6]:
        short = [*CLEAN[:19], *[v for v in stop if v != lost], "rapid - - 2", *CLEAN[19:]]
        assert bench.errors(sheet(bench, rectangle), said(bench, short)) == {"modes"}


def test_a_text_that_cannot_be_read_is_told_alone(bench, rectangle):
    bad = Reading("odd.nc", "program", "X", None, CannotRead(7, "G999", "no such word"))
    proof = bench.prove(sheet(bench, rectangle), said(bench, CLEAN), bad)
    (f,) = proof.findings
    assert (f.check, f.program, f.line) == ("reading", "odd.nc", 7)
    assert proof.parts == ()


def test_a_lost_check_proves_nothing(bench, rectangle):
    fewer = attrs.evolve(bench.registry, checks={k: v for k, v in bench.registry.checks.items() if k != "gouge"})
    bench = type(bench)(fewer)
    assert bench.errors(sheet(bench, rectangle), said(bench, CLEAN)) == {"proof"}


MODES = "\n".join(CLEAN[:6])
ROUND = f"""
units mm
distance absolute
plane xy
feed_mode per_minute
path exact_path
offset off
rapid - - 8
rapid 8 8 -
pause corner 1
{MODES}
rapid 32 8 -
pause corner 2
{MODES}
rapid 32 32 -
pause corner 3
{MODES}
rapid 8 32 -
pause corner 4
end
""".strip().splitlines()


@pytest.mark.parametrize(
    ("lines", "codes"),
    [
        (ROUND, set()),
        ([v for v in ROUND if v != "pause corner 3"], {"walk_round"}),
        ([*ROUND[:11], *ROUND[12:]], {"modes"}),
        ([v.replace("32", "31") for v in ROUND], {"walk_round"}),
        ([*ROUND[:7], "speed 9000", "spindle clockwise", *ROUND[7:]], {"walk_round", "end"}),
        ([v.replace("- - 8", "- - 4") for v in ROUND], {"walk_round", "start", "end", "restated"}),
        (ROUND[:-1], {"end"}),
    ],
)
def test_walk_round(bench, rectangle, lines, codes):
    walk = said(bench, lines).reading("round.nc", "walk-round")
    assert bench.errors(sheet(bench, rectangle), said(bench, CLEAN), walk) == codes
