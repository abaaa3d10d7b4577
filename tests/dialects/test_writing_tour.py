"""A tour of every step in every dialect, kept as a file a person can read: it shows what a change to a writer changes.

Each file was read from first to last line. Looked for: G21 alone before any length; one word of a modal group in a block;
Z before X and Y after the opening and after each stop; `M3 S`, then its dwell, before the first feed; modes restated after
M0; F with the first feed after a stop; G3 about (40, 30) with I 0, J 10 and G2 about (50, 40) with I 10, J 0; the helix
says Z; the bore of 0.0004 mm is nothing; the dwell inside the first stroke of each hole and the motion word that stays in
force after it; M5 and its dwell before each stop and before M2. In nist6556-lines: no G2, G3, I, J; on the first arc
(counter-clockwise, waste on its right) the first corner lies outside the circle, X40.108 Y19.999 being 10.0016 from
(40, 30); on the second (clockwise, waste on the center's side) inside, X40.003 Y40.215 being 9.9993 from (50, 40); on the
helix (radius 0.6, center's side) X50.003 Y60.198 is 0.5993 from (50.6, 60.25), and Z falls by 0.4/36 a chord.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
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

DIALECTS = ["nist6556", "nist6556-lines"]


class ProgramFile(SingleFileSnapshotExtension):
    """One program, one file."""

    _write_mode = WriteMode.TEXT
    file_extension = "nc"

    @classmethod
    def dirname(cls, *, test_location):
        """Beside this test."""
        return str(Path(test_location.filepath).parent / "snapshots" / test_location.basename)


@pytest.fixture(scope="module")
def tour():
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
        CutterChange(mill), SpindleOn(18000.0, 3.0, by_hand=True), Note("recess (first), Ø8 × 2"), cut, Dwell(0.2), holes,
        Motion(Curve.line([[20, 12.5, 8], [50, 60.25, 8]]), np.array([0]), np.array([0.0])), back, SpindleOff(6.0),
        Pause("take the slugs out"), SpindleOn(18000.0, 3.0), again,
        Motion(Curve.line([[-5.5, 10, -0.4], [-5.5, 10, 8]]), np.array([4]), np.array([0.0])), SpindleOff(6.0),
    )  # fmt: skip
    return Program("river-gauge-2-burr", "program", 1, mill, 8.0, steps)


@pytest.mark.parametrize("name", DIALECTS)
def test_tour(name, tour, snapshot: SnapshotAssertion):
    """The text is the one that was read."""
    dialect = Registry.load().dialects[name]()
    assert dialect.write(tour) == snapshot(extension_class=ProgramFile)
