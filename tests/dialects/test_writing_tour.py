"""A tour of every step, and three small jobs, in every dialect and in fifteen variations of them: each a file that a person
can read, to see what a change to a writer changes.

Each of the 87 files was read from first to last line, as one who is to run it. Looked for in all: units alone before any
length; one word of a modal group in a block; Z before X and Y after the opening and after each stop; the spindle, then its
dwell, before the first feed; modes restated after each stop; F with the first feed after a stop; spindle off and its dwell
before each stop and before the end; the last Z at the travel plane; no minus before zero.

The tour: G3 about (40, 30) with I 0, J 10 and G2 about (50, 40) with I 10, J 0; the helix says Z; the bore of 0.0004 mm is
nothing at three decimals, and a step out and back at four; the dwell inside the first stroke of each hole, and the motion
word that stays in force after it. In nist6556-lines: no G2, G3, I, J; on the first arc (counter-clockwise, waste on its right)
the first corner lies outside the circle, X40.108 Y19.999 being 10.0016 from (40, 30); on the second (clockwise, waste on the
center's side) inside, X40.003 Y40.215 being 9.9993 from (50, 40); on the helix (radius 0.6, center's side) X50.003 Y60.198 is
0.5993 from (50.6, 60.25), and Z falls by 0.4/36 a chord.

The variations: inches at 25.4 (X40 is 1.5748), feeds rounded down (480 is F18.89); a radius with quarters only (R10.000 to
(50, 30), then to (40, 40)); absolute centers I40.000 J30.000; in eia274 each arc ending where its circle crosses an axis, with
I and J without sign, and helices as chords; G04 in X, P or F, and the feed said anew after a time in F; milliseconds as whole
numbers; N in tens on blocks only; `%` first, in RS274/NGC also last; G55, G56 for offsets 2, 3; M30; nothing in parentheses
where there are no comments.

ISO 4343: CLEARP and RETRCT, then RAPID GOTO at the same height, at the start and after each stop; RAPID before every rapid move, for
it holds for one; CIRCLE with the center's own Z and k 1 or -1, then the GOTO on which it ends; the helices as chords; UNITS again after each STOP; a message of more than 72 characters on two lines before its STOP.

The jobs: tag with its drill, then the stop that says which cutter, then T2, in one program; in nist6556-core and -lines, and
without comments, in two; G98 G81 with Z-2.551 (floor -1.8, point 0.751 below it) and R at the approach plane, then G80. nut: the
bore about (0.2, 0) in three turns down to Z-0.3, one lap at the floor, two about radius 0.5; two bridges at Z0.5, each 2.8 mm
long (0.8 and the cutter's 2); chords of the bore inside its circle, of the corners outside. rail: two stops before the first
move, the second with the speed; three strokes a hole to Z-5.261 (floor -4.3, point 0.961 below it), up by rapid to the
approach plane between them.
"""

from __future__ import annotations

import importlib.util
import math
from pathlib import Path

import attrs
import numpy as np
import pytest
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.errors import InputError
from kerfwright.placing import place
from kerfwright.planning import plan_setup
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
)
from kerfwright.registry import Registry


def beside(name):
    """A module of this folder."""
    spec = importlib.util.spec_from_file_location(name, Path(__file__).parent / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


variations = beside("variations")
REGISTRY = Registry.load()
VARIED = variations.varied(REGISTRY)


class ProgramFile(SingleFileSnapshotExtension):
    """One program, one file."""

    _write_mode = WriteMode.TEXT
    file_extension = "nc"

    @classmethod
    def dirname(cls, *, test_location):
        """Beside this test."""
        return str(Path(test_location.filepath).parent / "snapshots" / test_location.basename)


def kept(dialect, text):
    """What a file of text keeps: its line ends are proved here."""
    if dialect.ending == "crlf":
        assert text.count("\r\n") == text.count("\n") == text.count("\r")
    else:
        assert "\r" not in text
    return text.replace("\r\n", "\n")


def tour(by_hand):
    """Every step of a program, each kind of segment, both sides of waste."""
    mill = Cutter(name="burr", number=3, form="end_mill", flutes="burr", diameter=2.0, measured=1.98, flute_length=8)
    nodes = [
        [40, 20, 8], [40, 20, 2], [40, 20, -1], [40, 40, -1], [50, 50, -1], [50, 60.25, -1], [50.0004, 60.25, -1],
        [50, 60.25, -1], [51.2, 60.25, -1.4], [50, 60.25, -1.8], [50, 60.25, 8],
    ]  # fmt: skip
    turns = [0, 0, math.pi, -math.pi / 2, 0, math.pi, math.pi, math.pi, math.pi, 0]
    feeds = np.array([0, 120, 600, 600, 480, 480, 480, 300, 300, 0.0])
    waste = np.array([0, 0, -1, -1, 1, 1, 1, 1, 1, 0])
    roles = np.array([0, 1, 2, 2, 2, 2, 2, 3, 3, 4])
    cut = Motion(Curve(np.array(nodes, float), np.array(turns, float)), roles, feeds, waste)
    back = Motion(Curve.line([[50, 60.25, 8], [-5.5, 0, 8]]), np.array([0]), np.array([0.0]))
    again = Motion(Curve.line([[-5.5, 0, 8], [-5.5, 0, 2], [-5.5, 10, -0.4]]), np.array([0, 1]), np.array([0.0, 90.0]))
    holes = Drilling(
        np.array([[10.0, 12.5], [20, 12.5]]), 8.0, 2.0, np.array([[-1, 2, 1, 0.25], [-2.4, 2, 1, 0]]), 80.0
    )
    steps = (
        CutterChange(mill), SpindleOn(18000.0, 3.0, by_hand), Note("recess (first), Ø8 × 2"), cut, Dwell(0.2), holes,
        Motion(Curve.line([[20, 12.5, 8], [50, 60.25, 8]]), np.array([0]), np.array([0.0])), back, SpindleOff(6.0),
        Pause("take the slugs out"), SpindleOn(18000.0, 3.0), again,
        Motion(Curve.line([[-5.5, 10, -0.4], [-5.5, 10, 8]]), np.array([4]), np.array([0.0])), SpindleOff(6.0),
    )  # fmt: skip
    return Program("river-gauge-2-burr", "program", 1, mill, 8.0, steps)


@pytest.mark.parametrize("name", VARIED)
def test_tour(name, snapshot: SnapshotAssertion):
    """The text is the one that was read. Without comments no stop could say a speed to set by hand."""
    dialect = VARIED[name]
    text = dialect.write(tour(dialect.comments != "none"))
    assert kept(dialect, text) == snapshot(extension_class=ProgramFile)


JOBS = {name: kw.load_job(Path(__file__).parent / "jobs" / f"{name}.yaml", REGISTRY) for name in ("tag", "nut", "rail")}


@pytest.mark.parametrize("name", VARIED)
@pytest.mark.parametrize("job", JOBS)
def test_job(job, name, snapshot: SnapshotAssertion):
    """Each program of the job is the one that was read; and proved, where its language has a reader."""
    dialect = VARIED[name]
    varied = attrs.evolve(JOBS[job], dialect=dialect)
    if (job, name) == ("rail", "nist-silent"):
        with pytest.raises(InputError, match="a stop must say the speed that is set by hand"):
            kw.make(varied, REGISTRY)
        return
    if dialect.comments == "none":
        varied = attrs.evolve(varied, machine=attrs.evolve(varied.machine, cutter_change="separate_programs"))
    if dialect.traits.language in REGISTRY.readers:
        result = kw.make(varied, REGISTRY)
        assert [f.message for f in result.findings if f.severity == "error"] == []
        texts = {p.file: p.text for p in result.programs if p.kind == "program"}
    else:
        (setup,) = place(varied, REGISTRY)
        texts = {p.name: setup.job.dialect.write(p) for p in plan_setup(setup, REGISTRY)}
    for k, text in enumerate(texts.values(), 1):
        assert kept(dialect, text) == snapshot(extension_class=ProgramFile, name=str(k))
