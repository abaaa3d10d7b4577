"""Steps as ISO 6983 and EIA RS-274-D text, each expected text worked out by hand; and what is true of every quadrant."""

from __future__ import annotations

import math
import re
from collections import Counter

import attrs
import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.errors import CannotSay
from kerfwright.program import CutterChange, Drilling, Dwell, Motion, Note, Pause, Program, SpindleOff, SpindleOn
from kerfwright.writing.quadrants import by_quadrant
from kerfwright_dialects.eia274 import Eia274
from kerfwright_dialects.iso6983 import Iso6983
from kerfwright_dialects.nist6556 import Nist6556

MILL = Cutter(name="mill", number=2, form="end_mill", diameter=2.0, flute_length=8)
DRILL = Cutter(name="drill", number=3, form="drill", diameter=1.6, flute_length=12)
ISO, EIA = Iso6983(sequence=False), Eia274(sequence=False)
MODES = "G71\nG17 G90 G94\nG40 G80\nG54 G60\n"


def program(*steps):
    return Program("gauge-1", "program", 1, MILL, 8.0, steps)


def motion(points, turns=None, feeds=600.0):
    nodes = np.array(points, float)
    n = len(nodes) - 1
    curve = Curve(nodes, np.zeros(n) if turns is None else np.array(turns, float))
    return Motion(curve, np.full(n, 2), np.broadcast_to(np.asarray(feeds, float), n))


def body(*steps, dialect=ISO):
    """The text between opening and end."""
    text = dialect.write(program(*steps))
    head, foot = (
        "%\n(gauge-1: program, sheet 1)\n" + MODES.replace("G54", "G74" if dialect.name == "eia274" else "G54"),
        "M02\n",
    )
    assert text.startswith(head)
    assert text.endswith(foot)
    return text[len(head) : -len(foot)]


@pytest.mark.parametrize(
    ("step", "text"),
    [
        (Note("bores first (4 × Ø3.2)"), "(bores first, 4 x D3.2)\n"),
        (Dwell(1.5), "G04 X1.500\n"),
        (SpindleOn(18000.0, 3.0), "S18000 M03\nG04 X3.000\n"),
        (SpindleOn(900.0, 0.0, True), "(extraction on, set the spindle to 900 rpm)\nM00\n" + MODES + "S900 M03\n"),
        (SpindleOff(5.0), "M05\nG04 X5.000\n"),
        (Pause("turn the sheet over"), "(turn the sheet over)\nM00\n" + MODES),
        (CutterChange(MILL), "(cutter 2 mill: end mill D2 mm)\nT2\n"),
    ],
)
def test_each_step(step, text):
    """What stands in the text for one step alone; in eia274 the modes and the letter of a dwell are others."""
    assert body(step) == text
    assert body(step, dialect=EIA) == text.replace("G04 X", "G04 F").replace("G54", "G74")


def test_numbers_of_blocks():
    """In tens on blocks, none on `%` and comments; by hand."""
    text = Iso6983().write(program(Note("up"), Dwell(0.2)))
    assert text == (
        "%\n(gauge-1: program, sheet 1)\nN10 G71\nN20 G17 G90 G94\nN30 G40 G80\nN40 G54 G60\n(up)\nN50 G04 X0.200\nN60 M02\n"
    )


@pytest.mark.parametrize(
    ("dialect", "moves", "last"),
    [
        (Eia274(), 9_900, "N99070 M02"),
        (Eia274(), 10_000, "N10007 M02"),
        (Iso6983(), 10_000, "N100070 M02"),
        (Nist6556(sequence=True), 10_000, "N10007 M2"),
    ],
)
def test_numbers_keep_within_their_digits(dialect, moves, last):
    """4 blocks of modes, 2 that state the place, one each move, the end: 9,907 go in tens up to 99,999, 10,007 by one."""
    x = np.arange(moves + 1.0) % 100
    text = dialect.write(program(motion(np.column_stack([x, x % 2, np.full(moves + 1, 9.0)]))))
    assert text.splitlines()[-1] == last


def test_too_many_blocks_to_number():
    """A number has five digits in RS274/NGC and here."""
    x = np.arange(100_001.0) % 100
    with pytest.raises(CannotSay, match="100007 blocks with numbers up to 99999"):
        Eia274().write(program(motion(np.column_stack([x, x % 2, np.full(100_001, 9.0)]))))


def test_arcs_of_iso():
    """Half a turn from (30, 20) about (30, 30), then a quarter to (20, 30), falling by 1 mm, about (30, 30) too."""
    m = motion([[30, 20, 9], [30, 40, 9], [20, 30, 8]], turns=[math.pi, math.pi / 2], feeds=300)
    start = "G00 Z9.000\nX30.000 Y20.000\n"
    assert body(m) == start + "G03 Y40.000 I0.000 J10.000 F300\nX20.000 Y30.000 Z8.000 I0.000 J-10.000\n"
    absolute = body(m, dialect=attrs.evolve(ISO, centers="absolute"))
    assert absolute == start + "G03 Y40.000 I30.000 J30.000 F300\nX20.000 Y30.000 Z8.000 I30.000 J30.000\n"
    radius = body(m, dialect=attrs.evolve(ISO, centers="radius"))
    assert (
        radius == start + "G03 X40.000 Y30.000 R10.000 F300\nX30.000 Y40.000 R10.000\nX20.000 Y30.000 Z8.000 R10.000\n"
    )


HALF = math.sqrt(50)
QUADRANTS = [
    # from (30, 20) half a turn about (30, 30): at (40, 30) it crosses the axis
    ([[30, 20, 9], [30, 40, 9]], [math.pi], "G03 X40.000 Y30.000 I0.000 J10.000\nX30.000 Y40.000 I10.000 J0.000\n"),
    # clockwise back, about the same: by (40, 30) again
    ([[30, 40, 9], [30, 20, 9]], [-math.pi], "G02 X40.000 Y30.000 I0.000 J10.000\nX30.000 Y20.000 I10.000 J0.000\n"),
    # a quarter from one axis to the next stays whole
    ([[40, 30, 9], [30, 40, 9]], [math.pi / 2], "G03 X30.000 Y40.000 I10.000 J0.000\n"),
    # a quarter from 45 to 135 degrees about (0, 0), radius 10: 7.071 is half the root of 200; the axis at (0, 10)
    ([[HALF, HALF, 9], [-HALF, HALF, 9]], [math.pi / 2], "G03 X0.000 Y10.000 I7.071 J7.071\nX-7.071 Y7.071 I0.000 J10.000\n"),
    # three quarters, clockwise from (0, 10) about (0, 0) to (-10, 0): said in two halves of 135 degrees
    ([[0, 10, 9], [-10, 0, 9]], [-1.5 * math.pi],
     "G02 X10.000 Y0.000 I0.000 J10.000\nX7.071 Y-7.071 I10.000 J0.000\nX0.000 Y-10.000 I7.071 J7.071\nX-10.000 Y0.000 I0.000 J10.000\n"),
]  # fmt: skip


@pytest.mark.parametrize(("points", "turns", "text"), QUADRANTS)
def test_arcs_end_with_each_quadrant(points, turns, text):
    """I and J are distances to the center, without sign."""
    said = body(motion(points, turns, 300), dialect=EIA)
    assert re.sub(" F300", "", said).split("\n", 2)[2] == text


def test_a_helix_without_helices_is_chords():
    """From (10, 0) at 9 half a turn about (0, 0) down to 8: no arc, Z half way down where Y is greatest."""
    text = body(motion([[10, 0, 9], [-10, 0, 8]], [math.pi]), dialect=EIA)
    assert not re.search("G0[23]", text)
    rows = [{w[0]: float(w[1:]) for w in line.split()} for line in text.splitlines()[2:]]
    assert [row["Z"] for row in rows] == sorted((row["Z"] for row in rows), reverse=True)
    top = max(rows, key=lambda row: row.get("Y", 0))
    assert top["Z"] == pytest.approx(8.5, abs=0.02)
    assert top["Y"] == pytest.approx(10, abs=0.002)


def test_the_feed_is_said_again_after_a_time_in_f():
    """A controller that took the time for a feed would creep at 0.5 mm/min."""
    holes = Drilling(np.array([[50.0, 50]]), 8.0, 2.0, np.array([[-1, 2, 1, 0.5], [-2, 2, 1, 0]]), 80.0)
    assert body(holes, dialect=EIA) == (
        "G00 Z8.000\nX50.000 Y50.000\nZ2.000\nG01 Z-1.000 F80\nG04 F0.500\nG00 Z2.000\nG01 Z-2.000 F80\nG00 Z2.000\nZ8.000\n"
    )
    a, b = motion([[0, 0, 9], [5, 0, 9]]), motion([[5, 0, 9], [5, 5, 9]])
    assert body(a, Dwell(0.5), b, dialect=EIA).endswith("G01 X5.000 F600\nG04 F0.500\nY5.000 F600\n")
    assert body(a, Dwell(0.5), b).endswith("G01 X5.000 F600\nG04 X0.500\nY5.000\n")


@pytest.mark.parametrize(("change", "stop"), [
    ("automatic", "T3 M06\n(T3 drill: drill D1.6 mm in the spindle? Z touched off with it?)\nM00\n" + MODES),
    ("pause", "(fit T3 drill: drill D1.6 mm, touch Z off with it)\nM00\n" + MODES + "T3\n"),
])  # fmt: skip
def test_a_change_of_cutter(change, stop):
    """The first is fetched or fitted already, the second is changed for it."""
    text = body(CutterChange(MILL), CutterChange(DRILL), dialect=attrs.evolve(ISO, cutter_change=change))
    assert text.endswith(stop)
    assert text.startswith("T2 M06\n" if change == "automatic" else "(cutter 2 mill")
    with pytest.raises(CannotSay, match="one program a cutter: T2, then T3"):
        body(CutterChange(MILL), CutterChange(DRILL))


def centers(here, end, i, j, clockwise, slack):
    """Of the four places that distances without sign may mean, those that make one arc within one quadrant."""
    found = set()
    for x, y in {(here[0] + a * i, here[1] + b * j) for a in (1, -1) for b in (1, -1)}:
        u, v = (here[0] - x, here[1] - y), (end[0] - x, end[1] - y)
        if abs(math.hypot(*u) - math.hypot(*v)) > slack:
            continue
        signs = [(w[0] >= -1e-9, w[0] <= 1e-9, w[1] >= -1e-9, w[1] <= 1e-9) for w in (u, v)]
        together = any(all(s[a] and s[b] for s in signs) for a in (0, 1) for b in (2, 3))
        cross = u[0] * v[1] - u[1] * v[0]
        if together and (cross < 0) == clockwise and abs(cross) > 1e-12:
            found.add((round(x, 7), round(y, 7)))
    return found


ARC = st.tuples(
    st.sampled_from([0.02, 0.3, 3.0, 12.0, 40.0]), st.floats(-math.pi, math.pi), st.sampled_from([0.05, 0.3, 1.57, math.pi / 2, 2.2, math.pi, 4.0, 6.2]),
    st.sampled_from([-1, 1]),
)  # fmt: skip


@pytest.mark.parametrize(
    "dialect", [EIA, attrs.evolve(EIA, decimals=4), attrs.evolve(EIA, units="inch")], ids=["mm", "mm4", "inch"]
)
def test_every_arc_without_signs_has_one_center(dialect):
    """Read by fifteen lines that know nothing of the writer: exactly one of the four places fits, within 0.002 mm (0.0002 inch,
    in mm with four decimals 0.0002). 150 motions, at least 500 arcs reach the assertion.
    """
    reached = Counter()
    slack = 2 / 10**dialect.places + 1e-9

    @settings(max_examples=150, deadline=None, derandomize=True, database=None, phases=[Phase.generate])
    @given(st.lists(ARC, min_size=1, max_size=5))
    def prove(arcs):
        steps = [(long * math.cos(way), long * math.sin(way), 0) for long, way, _, _ in arcs]
        nodes = np.array([10.000137, 20.000271, 9.0]) + np.vstack([np.zeros(3), np.cumsum(steps, axis=0)])
        here, code = [0.0, 0.0], 0
        for line in dialect.write(program(motion(nodes, [turn * sign for _, _, turn, sign in arcs]))).splitlines():
            if line[0] in "%(":
                continue
            say = {word[0]: float(word[1:]) for word in line.split()}
            if not say.keys() & set("XYZ"):
                continue
            code = say.get("G", code)
            end = [say.get("X", here[0]), say.get("Y", here[1])]
            if code in (2, 3):
                assert min(say["I"], say["J"]) >= 0
                assert len(centers(here, end, say["I"], say["J"], code == 2, slack)) == 1, (line, here)
                reached["arcs"] += 1
            here = end

    prove()
    print("reached", dict(reached))
    assert reached["arcs"] >= 500


def test_nodes_that_are_put_in_lie_on_the_axes():
    """In whole units: from (100, 1) half a turn about (0, 0), radius 100, to (-100, -1); the axes at (0, 100) and (-100, 0)."""
    nodes, old = by_quadrant(
        np.array([[100, 1, 0], [-100, -1, 30]]), np.array([math.pi]), np.array([[-100, -1]]), np.array([True])
    )
    assert old.tolist() == [0, 0, 0]
    # Z goes with the angle: 89.43 of 180 degrees make 15, 179.43 make 30
    assert nodes.tolist() == [[100, 1, 0], [0, 100, 15], [-100, 0, 30], [-100, -1, 30]]
