"""Steps as RS274/NGC text, each expected text worked out by hand, and the table of refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from attrs import frozen

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.errors import CannotSay
from kerfwright.program import (
    CutterChange,
    Drilling,
    Dwell,
    Motion,
    Note,
    Pause,
    Program,
    SpindleOff,
    SpindleOn,
)  # fmt: skip
from kerfwright.writing.remark import remarks
from kerfwright_dialects.nist6556 import Nist6556
from kerfwright_dialects.nist6556_core import Nist6556Core
from kerfwright_dialects.nist6556_lines import Nist6556Lines

MILL = Cutter(name="mill", number=2, form="end_mill", diameter=2.0, flute_length=8)
MODES = "G21\nG17 G90 G94\nG40 G49 G80\nG54 G61\n"
HEAD = "(gauge-1: program, sheet 1)\n" + MODES


def program(*steps):
    return Program("gauge-1", "program", 1, MILL, 8.0, steps)


def motion(points, turns=None, feeds=600.0, waste=None):
    nodes = np.array(points, float)
    n = len(nodes) - 1
    curve = Curve(nodes, np.zeros(n) if turns is None else np.array(turns, float))
    return Motion(curve, np.full(n, 2), np.broadcast_to(np.asarray(feeds, float), n), waste)


def body(*steps, dialect=None):
    """The text between opening and end."""
    text = (dialect or Nist6556()).write(program(*steps))
    assert text.startswith(HEAD)
    assert text.endswith("M2\n")
    return text[len(HEAD) : -len("M2\n")]


@pytest.mark.parametrize(
    ("step", "text"),
    [
        (Note("bores first (4 × Ø3.2)"), "(bores first, 4 x D3.2)\n"),
        (Note("(((   )))"), ""),
        (Dwell(1.5), "G4 P1.500\n"),
        (Dwell(0.0001), "G4 P0.001\n"),
        (Dwell(0), ""),
        (SpindleOn(18000.0, 3.0), "M3 S18000\nG4 P3.000\n"),
        (SpindleOn(18000.0, 0.0), "M3 S18000\n"),
        (
            SpindleOn(22000.0, 3.0, by_hand=True),
            "(extraction on, set the spindle to 22000 rpm)\nM0\n" + MODES + "M3 S22000\nG4 P3.000\n",
        ),
        (SpindleOff(5.0), "M5\nG4 P5.000\n"),
        (Pause("turn the sheet over"), "(turn the sheet over)\nM0\n" + MODES),
        (Pause(""), "(stop)\nM0\n" + MODES),
        (CutterChange(MILL), "(cutter 2 mill: end mill D2 mm)\nT2\n"),
    ],
)
def test_each_step(step, text):
    """What stands in the text for one step alone."""
    assert body(step) == text


def test_a_program_without_steps_is_its_modes_and_its_end():
    """Units first and alone, each mode that is relied on, then the end."""
    assert Nist6556().write(program()) == HEAD + "M2\n"
    assert (
        Nist6556(units="inch", work_offset=3).write(program())
        == HEAD.replace("G21", "G20").replace("G54", "G56") + "M2\n"
    )


def test_motion_from_an_unknown_place():
    """Z before X and Y by rapid, each word once; F with the first feed only; rounding half to even of exact halves."""
    m = motion([[10, 20, 8], [10, 20, 2], [10, 20, -1], [30, 20, -1], [30, 20.0625, -1]], feeds=[0, 150, 600, 600])
    assert body(m) == "G0 Z8.000\nX10.000 Y20.000\nZ2.000\nG1 Z-1.000 F150\nX30.000 F600\nY20.062\n"


def test_motions_that_follow_say_only_what_changes():
    """Two motions and a note between: nothing in force is said again."""
    a = motion([[0, 0, 8], [5, 0, 8]])
    b = motion([[5, 0, 8], [5, 5, 8], [0, 5, 8]], feeds=[600, 0])
    assert body(a, b) == "G0 Z8.000\nX0.000 Y0.000\nG1 X5.000 F600\nY5.000\nG0 X0.000\n"
    assert body(a, Note("on"), b) == "G0 Z8.000\nX0.000 Y0.000\nG1 X5.000 F600\n(on)\nY5.000\nG0 X0.000\n"


@pytest.mark.parametrize("step", [Pause("look"), CutterChange(MILL), SpindleOn(9000.0, 0.0, by_hand=True)])
def test_after_a_stop_everything_is_said_again(step):
    """Place, motion word and feed: the operator may have moved and set anything."""
    a = motion([[0, 0, 8], [5, 0, 8]])
    b = motion([[5, 0, 8], [5, 5, 8]])
    again = "G0 Z8.000\nX5.000 Y0.000\nG1 Y5.000 F600\n"
    assert body(a, step, b).endswith(again)


def test_arcs_and_helices():
    """From (30, 20) half a turn to (30, 40) about (30, 30), on by a quarter to (20, 30), falling by 1 mm; and that quarter
    clockwise, about (20, 40). G3 is counter-clockwise; I, J count from the start: (0, 10), (0, -10), (-10, 0).
    """
    m = motion([[30, 20, 9], [30, 40, 9], [20, 30, 8]], turns=[math.pi, math.pi / 2], feeds=300)
    assert body(m) == (
        "G0 Z9.000\nX30.000 Y20.000\nG3 Y40.000 I0.000 J10.000 F300\nX20.000 Y30.000 Z8.000 I0.000 J-10.000\n"
    )
    back = motion([[30, 40, 9], [20, 30, 8]], turns=[-math.pi / 2], feeds=300)
    assert body(back) == "G0 Z9.000\nX30.000 Y40.000\nG2 X20.000 Y30.000 Z8.000 I-10.000 J0.000 F300\n"


def test_centers_lie_on_the_bisector_of_the_rounded_chord():
    """A half turn of 5 mm between (0.0004, 0) and (10.0004, 0): from rounded 0 to 10, so I is 5, not 4.9996 or 5.0004.

    The chord from 0 to 10.0016 rounds to 10.002: the center lies in its middle, 5.001.
    """
    assert "X10.000 I5.000 J0.000" in body(motion([[0.0004, 0, 9], [10.0004, 0, 9]], turns=[math.pi]))
    assert "X10.002 I5.001 J0.000" in body(motion([[0, 0, 9], [10.0016, 0, 9]], turns=[math.pi]))


@pytest.mark.parametrize(
    ("chord", "turn", "why"),
    [
        (1.0, 0.001, "a bow of 1 x tan(0.001/4)/2 = 0.000125 mm is under half a digit"),
        (100.0, 1e-5, "a bow of 0.000125 mm, radius 10 m"),
        (0.002, 0.9, "a bow of 0.00023 mm"),
    ],
)
def test_flat_arcs_are_lines(chord, turn, why):
    """Nothing of the arc would be seen in the last digit."""
    assert body(motion([[0, 0, 9], [chord, 0, 9]], turns=[turn])).endswith(f"G1 X{chord:.3f} F600\n"), why


def test_arcs_of_great_radius_are_chords():
    """Radius 100/(2 sin 0.02) = 2500 mm is more than 1000: chords, and Y of the middle is the bow, 100/2 tan 0.01 = 0.5."""
    text = body(motion([[0, 0, 9], [100, 0, 9]], turns=[0.04]))
    assert "G3" not in text
    lowest = min(float(word[1:]) for word in text.split() if word[0] == "Y")
    assert lowest == pytest.approx(-0.5, abs=0.0021)


def test_drilling_with_a_dwell_at_the_bottom():
    """Two holes, a peck with 0.5 s at its bottom, then through; G4 leaves the motion word in force."""
    strokes = np.array([[-1, 2, 1, 0.5], [-2.4, 2, 0, 0]])
    step = Drilling(np.array([[50.0, 50], [60, 50]]), 8.0, 2.0, strokes, 80.0)
    hole = "G1 Z-1.000{}\nG4 P0.500\nG0 Z2.000\nG1 Z-2.400\nZ2.000\nG0 Z8.000\n"
    first, second = hole.format(" F80"), hole.format("")
    assert body(step) == "G0 Z8.000\nX50.000 Y50.000\nZ2.000\n" + first + "X60.000\nZ2.000\n" + second
    millis = body(step, dialect=Nist6556(dwell_unit="ms"))
    assert millis.count("G4 P500\n") == 2


@pytest.mark.parametrize(
    ("z", "way"),
    [
        (8.0, "G0 X50.000 Y50.000\n"),
        (12.0, "G0 X50.000 Y50.000\nZ8.000\n"),
        (3.0, "G0 Z8.000\nX50.000 Y50.000\n"),
    ],
)
def test_drilling_after_motion_goes_up_across_and_down(z, way):
    """By rapid from where the last step ended, never down and across together."""
    before = motion([[0, 0, 20], [0, 5, 20], [0, 5, z]])
    step = Drilling(np.array([[50.0, 50]]), 8.0, 2.0, np.array([[-1.0, 2, 1, 0]]), 80.0)
    stroke = "Z2.000\nG1 Z-1.000 F80\nG0 Z2.000\nZ8.000\n"
    assert (
        body(before, step, dialect=Nist6556(cycles=False))
        == f"G0 Z20.000\nX0.000 Y0.000\nG1 Y5.000 F600\nZ{z:.3f}\n{way}{stroke}"
    )


def holes(strokes, *places):
    return Drilling(np.array(places or [[50.0, 50], [60, 50]]), 8.0, 2.0, np.array(strokes, float), 80.0)


def test_cycles():
    """One stroke and out by rapid is G81, with a dwell at its bottom G82; after G80 the motion word is said anew, F is not."""
    after = motion([[60, 50, 8], [60, 60, 8]], feeds=80)
    text = "G0 Z8.000\nX50.000 Y50.000\nG98 G81 X50.000 Y50.000 Z-1.000 R2.000 F80\nX60.000 Y50.000\nG80\nG1 Y60.000\n"
    assert body(holes([[-1, 2, 1, 0]]), after) == text
    bored = body(holes([[-1, 2, 1, 0.5]]), dialect=Nist6556(decimals=4, end="M2"))
    assert "G98 G82 X50.0000 Y50.0000 Z-1.0000 R2.0000 P0.500 F80\n" in bored
    before = motion([[0, 0, 20], [0, 5, 20], [0, 5, 3]])
    assert body(before, holes([[-1, 2, 1, 0]], [50.0, 50])).endswith(
        "G0 Z8.000\nX50.000 Y50.000\nG98 G81 X50.000 Y50.000 Z-1.000 R2.000 F80\nG80\n"
    )


@pytest.mark.parametrize(
    ("strokes", "dialect", "why"),
    [
        ([[-1, 2, 1, 0], [-2, 2, 1, 0]], Nist6556(), "pecks come back down by feed, those of G83 by rapid"),
        ([[-1, 2, 0, 0]], Nist6556(), "out by feed"),
        ([[-1, 9, 1, 0]], Nist6556(), "out to above the travel plane"),
        ([[-1, 2, 1, 0.5]], Nist6556(dwell_unit="ms"), "P of G82 is said in seconds"),
        ([[-1, 2, 1, 0]], Nist6556Core(), "no cycles"),
        ([[2, 2, 1, 0]], Nist6556(), "no way down"),
    ],
)
def test_strokes_that_no_cycle_makes_are_written_out(strokes, dialect, why):
    """Each by hand: the one thing in which the cycle would differ."""
    assert "G8" not in body(holes(strokes), dialect=dialect).replace("G80", ""), why


def test_inches():
    """25.4 mm is X1.0000, 600 mm/min is 23.62 inch/min: rounded down, never faster than planned."""
    text = Nist6556(units="inch", decimals=4, feed_decimals=2).write(
        program(motion([[0, 0, 25.4], [-25.4, 12.7, 25.4]]))
    )
    assert text.endswith("G0 Z1.0000\nX0.0000 Y0.0000\nG1 X-1.0000 Y0.5000 F23.62\nM2\n")


def test_a_feed_is_never_faster_than_planned():
    """620.9 mm/min is F620, 620 is F620: the second is not said again."""
    assert body(motion([[0, 0, 9], [1, 0, 9], [2, 0, 9]], feeds=[620.9, 620.0])).endswith("G1 X1.000 F620\nX2.000\n")


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Fräser (Ø2, Burr) für Löcher", ["Fraeser D2, Burr fuer Loecher"]),
        ("MSG, stop", ["MSG stop"]),
        ("  (msg , stop", ["msg stop"]),
        ("100 % ; G1 X5 )", ["100 percent, G1 X5"]),
        ("日本\n\t\x07", []),
        ("Søren, Ø8 ±0.1 — ½", ["Soeren D8 +-0.1 - 1/2"]),
        ("a" * 70 + " " + "b" * 20, ["a" * 70, "b" * 20]),
        ("c" * 100, ["c" * 80, "c" * 20]),
    ],
)
def test_comments_made_safe(text, lines):
    """ASCII, no brackets, no order at the beginning, lines of at most 80 characters, by hand."""
    assert remarks(text, 80) == lines


@pytest.mark.parametrize("hostile", ["a) M3 S99999 (", "a\nM3 S9", "\r\nG0 Z-50\r", "%", "\x00(", "G1 X1)" * 100])
def test_no_message_writes_a_block(hostile):
    """Whatever a name or message holds, each of its lines is one comment of at most 256 characters."""
    cutter = Cutter(name=hostile, number=2, form="end_mill", diameter=2.0, flute_length=8)
    text = Nist6556().write(Program(hostile, "program", 1, cutter, 8.0, (CutterChange(cutter), Note(hostile))))
    blocks = [line for line in text.splitlines() if not line.startswith("(")]
    assert blocks == [*MODES.split("\n")[:-1], "T2", "M2"]
    assert all(
        line.count("(") == line.count(")") == 1 and line[-1] == ")" for line in text.splitlines() if line[0] == "("
    )
    assert max(map(len, text.splitlines())) <= 256
    assert text.isascii()


@frozen
class Whistle:
    """A step no dialect knows."""


DRILL = Cutter(name="drill", number=3, form="drill", diameter=1.6, flute_length=12)
REFUSED = [
    ((Whistle(),), "cannot say Whistle"),
    ((CutterChange(DRILL),), "one program a cutter: T2, then T3"),
    ((motion([[0, 0, 7], [1, 0, 7]]),), "begins below the travel plane"),
    ((motion([[0, 0, 9], [1, 0, math.nan]]),), "no finite number"),
    ((motion([[0, 0, 9], [1, math.inf, 9]]),), "no finite number"),
    ((motion([[0, 0, 9], [1, 0, 9]], turns=[math.nan]),), "no finite number"),
    ((motion([[0, 0, 9], [1, 0, 9]], feeds=math.nan),), "no finite number"),
    ((motion([[0, 0, 9], [1, 0, 9]], feeds=-1),), "a feed of -1 mm/min is below 0"),
    ((motion([[0, 0, 9], [1, 0, 9]], feeds=0.4),), "a feed of 0.4"),
    ((motion([[0, 0, 9], [1, 0, 9]], feeds=1e12),), "a feed of"),
    ((motion([[0, 0, 9], [100_000, 0, 9]]),), "100000 mm from zero has over 5 digits"),
    ((motion([[0, 0, 9], [1, 0, 9]], turns=[1.0], feeds=0),), "a rapid along an arc"),
    ((motion([[0, 0, 9], [0, 0, 9]], turns=[2 * math.pi]),), "a full circle in one segment"),
    ((motion([[0, 0, 9], [1, 0, 9]]), motion([[2, 0, 9], [3, 0, 9]])), "begins 1.0000 mm from where the last one left"),
    ((motion([[0, 0, 9], [1, 0, 9]]), Dwell(1), motion([[2, 0, 9], [3, 0, 9]])), "the cutter stands at"),
    ((Motion(Curve.line([[0, 0, 9], [1, 0, 9]]), np.array([2, 2]), np.array([600.0])),), "of 1 segments has 1 feeds and 2 roles"),
    ((Dwell(math.nan),), "no time to wait"),
    ((Dwell(-1),), "no time to wait"),
    ((Dwell(1e5),), "no time to wait"),
    ((SpindleOn(0.0, 3.0),), "a spindle speed of 0 rpm"),
    ((SpindleOn(math.nan, 3.0),), "a spindle speed of nan rpm"),
]  # fmt: skip


@pytest.mark.parametrize("dialect", [Nist6556(), Nist6556Lines()], ids=["nist6556", "nist6556-lines"])
@pytest.mark.parametrize(("steps", "message"), REFUSED, ids=[message for _, message in REFUSED])
def test_refused(steps, message, dialect):
    """What cannot be said is refused, never left out."""
    with pytest.raises(CannotSay, match=message):
        dialect.write(program(*steps))
