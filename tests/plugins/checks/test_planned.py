"""Planned programs, spoiled in their text: read back and proved again. The codes that must be told are written by hand."""

from __future__ import annotations

import re

import pytest

import kerfwright as kw
from kerfwright.placing import place
from kerfwright.planning import plan_setup, walk_round
from kerfwright.proof import prove, reading_of

JOB = """
job: tab
machine: light-router
sheet:
  material: cfrp
  size: [70, 60]
  thickness: 2
  breakthrough: 0.4
  board: 12
  hold: screws
  keepout: [{circle: {center: [6, 6], diameter: 8}, height: 4}]
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}
  drill: {form: drill, diameter: 3, point_angle: 118, flute_length: 12}
parts:
  - name: tab
    at: [20, 15]
    shapes:
      - rectangle: {corner: [0, 0], size: [30, 24], radius: 4}
      - circle: {center: [6, 12], diameter: 3}
      - rectangle: {corner: [12, 8], size: [12, 8], radius: 1.5, layer: recess}
operations:
  - drill: {cutter: drill, select: {circles: 3}}
  - pocket: {cutter: mill, select: {layer: recess}, depth: 0.8, radial_depth: 0.4}
  - profile: {cutter: mill, select: outer, bridges: {width: 0.8, thickness: 0.5, spacing: 40}}
"""
DRILL, MILL, ROUND = 0, 1, 2


@pytest.fixture(scope="module")
def made():
    """Setup, registry and the texts: drill, mill, walk-round."""
    registry = kw.Registry.load()
    job = kw.load_job("tab.yaml", registry, text=JOB)
    (setup,) = place(job, registry)
    programs = plan_setup(setup, registry)
    programs = (*programs, walk_round(setup, programs))
    return setup, registry, [(p.name, p.kind, kw.write(p, "nist6556", registry)) for p in programs]


def proof_of(made, texts):
    setup, registry, _ = made
    readings = [reading_of(name, kind, text, "nist6556", setup.job, registry) for name, kind, text in texts]
    return prove(setup, readings, registry)


def codes(made, texts):
    return {f.check for f in proof_of(made, texts).findings if f.severity == "error"}


def test_what_was_planned_is_clean(made):
    setup, registry, texts = made
    assert codes(made, texts) == set()
    for name, kind, text in texts:
        told = reading_of(name, None, text, "nist6556", setup.job, registry)
        assert told.kind == kind


def lose(pattern, which=0):
    """Take out the `which`-th line that matches."""

    def spoil(text):
        lines = text.splitlines(keepends=True)
        k = [i for i, line in enumerate(lines) if re.fullmatch(pattern, line.strip())][which]
        return "".join([*lines[:k], *lines[k + 1 :]])

    return spoil


def swap(pattern, new, count=0):
    """Put something in place of every match, or of the first `count`."""

    def spoil(text):
        out, n = re.subn(pattern, new, text, count=count, flags=re.MULTILINE)
        assert n, pattern
        return out

    return spoil


def shift(letter, by):
    """Move every coordinate of an axis."""
    return swap(rf"(?<={letter})-?[0-9.]+", lambda m: f"{float(m[0]) + by:.3f}")


SPOILED = [
    ("spindle lost", MILL, lose("M3 .*"), {"spindle"}),
    ("spindle the other way", MILL, swap("^M3", "M4"), {"spindle"}),
    ("a digit of the speed lost", MILL, swap("S([0-9]+)0$", r"S\1"), {"spindle"}),
    ("dwell lost", DRILL, lose("G4 .*"), {"spindle"}),
    ("dwell in another unit", DRILL, swap("P5.000", "P0.005"), {"spindle"}),
    ("spindle left on", MILL, lose("M5"), {"end"}),
    ("last lift lost", MILL, lose(r"G0 Z8\.000", -1), {"end", "spindle"}),
    ("corners rounded", MILL, swap("G61", "G64"), {"modes"}),
    ("another zero", MILL, swap("G54", "G55"), {"modes"}),
    ("feed doubled", MILL, swap("F400", "F800"), {"feed"}),
    ("plunge at feed", MILL, swap("F50$", "F400"), {"feed"}),
    ("drill at feed", DRILL, swap("F60$", "F400"), {"feed"}),
    ("a lift between two cuts lost", MILL, lose(r"G0 Z8\.000", 1), {"gouge"}),
    ("too high", MILL, swap(r"Z-2\.[34][0-9]+", "Z-1.900"), {"not_through"}),
    ("too deep", MILL, swap(r"Z-2\.400", "Z-2.700"), {"too_deep", "feed", "axial_depth"}),
    ("recess too deep", MILL, swap(r"Z-0\.800", "Z-0.850"), {"gouge"}),
    ("recess too high", MILL, swap(r"Z-0\.800", "Z-0.750"), {"leftover"}),
    ("drill too high", DRILL, swap(r"Z-3\.301", "Z-2.400"), {"not_through"}),
    ("drill through the board", DRILL, swap(r"Z-3\.301", "Z-15.000"), {"too_deep", "cutter"}),
    ("bridges cut through", MILL, lambda t: "".join(v for v in t.splitlines(True) if v.strip() != "Z-1.500"), {"bridge", "loose"}),
    ("bridges too thin", MILL, swap(r"^Z-1\.500", "Z-1.700"), {"bridge"}),
    ("shifted in X", MILL, shift("X", 0.05), {"gouge", "leftover", "walk_round"}),
    ("shifted in Y", DRILL, shift("Y", -0.02), {"gouge", "leftover"}),
    ("shifted down", MILL, shift("Z", -0.05), {"gouge", "too_deep", "start", "end", "bridge", "rapid", "spindle", "axial_depth"}),
    ("rapid into the sheet", MILL, swap(r"^Z2\.000", "Z-1.000", 1), {"rapid", "gouge"}),
    ("rapid too low", DRILL, swap(r" R2\.000", " R0.500", 1), {"rapid"}),
    ("cut at rapid", MILL, swap(r"^G1 X46\.000|^X46\.000$", "G0 X46.000"), {"rapid"}),
    ("down and across", MILL, swap(r"^X35\.000 Y14\.000\nZ2\.000", "X35.000 Y14.000 Z2.000"), {"rapid", "rapid_descent"}),
    ("up and across", MILL, swap(r"^G0 Z8\.000\nX35\.000 Y14\.000", "G0 X35.000 Y14.000 Z8.000"), {"rapid"}),
    ("into the screw", MILL, swap(r"^X35\.000 Y14\.000", "X6.000 Y6.000\nZ3.500\nZ8.000\nX35.000 Y14.000"), {"keepout", "walk_round"}),
    ("end lost", MILL, lose("M2"), {"end"}),
    ("round starts the spindle", ROUND, swap(r"^T2", "T2\nM3 S9000"), {"walk_round", "end"}),
    ("round too low", ROUND, swap(r"Z8\.000", "Z3.000"), {"walk_round", "start", "end", "restated"}),
    ("round does not stop", ROUND, lose("M0", 1), {"walk_round"}),
]  # fmt: skip


@pytest.mark.parametrize(("which", "spoil", "expected"), [v[1:] for v in SPOILED], ids=[v[0] for v in SPOILED])
def test_spoiled_text(made, which, spoil, expected):
    texts = list(made[2])
    name, kind, text = texts[which]
    bad = spoil(text)
    assert bad != text
    texts[which] = (name, kind, bad)
    assert codes(made, texts) == expected


WILD = [
    ("inches", MILL, swap("^G21", "G20"), {"leftover", "too_deep", "machine_travel", "cutter"}),
    ("steps instead of places", MILL, swap("G90", "G91"), {"reading"}),
    ("another cutter", MILL, swap("^T1", "T2"), {"gouge", "not_through"}),
    ("a cutter that is not there", MILL, swap("^T1", "T9"), {"cutter", "leftover"}),
    ("arcs turned round", MILL, swap("^G2 ", "G3 "), {"gouge"}),
    ("one end of an arc shifted", MILL, swap(r"Y19\.000 F400", "Y19.100 F400"), {"reading"}),
    ("a center lost", MILL, swap(r" I5\.000 J0\.000", ""), {"reading"}),
]


@pytest.mark.parametrize(("which", "spoil", "least"), [v[1:] for v in WILD], ids=[v[0] for v in WILD])
def test_spoiled_text_with_many_consequences(made, which, spoil, least):
    texts = list(made[2])
    name, kind, text = texts[which]
    texts[which] = (name, kind, spoil(text))
    assert codes(made, texts) >= least


@pytest.mark.parametrize(
    ("lost", "expected"), [(DRILL, {"leftover", "programs"}), (MILL, {"leftover", "bridge", "walk_round", "programs"})]
)
def test_a_missing_program(made, lost, expected):
    texts = [t for i, t in enumerate(made[2]) if i != lost]
    assert codes(made, texts) == expected


def test_the_order_of_programs_that_do_not_meet_is_free(made):
    drill, mill, walk = made[2]
    assert codes(made, [mill, walk, drill]) == set()


def told(made, texts):
    return [(f.severity, f.program, f.message) for f in proof_of(made, texts).findings if f.check == "programs"]


def test_but_another_order_is_told(made):
    drill, mill, walk = made[2]
    text = "runs mill out of order: the job's operations ask for drill then mill"
    assert told(made, [mill, walk, drill]) == [("warning", mill[0], text)]
    assert told(made, [drill, mill, walk]) == []


def test_a_program_given_twice(made):
    drill, mill, walk = made[2]
    again = ("again.nc", mill[1], mill[2])
    assert told(made, [drill, mill, again, walk]) == [
        ("error", "again.nc", f"is the same text as {mill[0]}, so it runs twice")
    ]


def test_what_a_missing_program_leaves_unproved(made):
    _, mill, walk = made[2]
    ((severity, file, text),) = told(made, [mill, walk])
    assert (severity, file) == ("error", "")
    assert text == "no program cuts with drill (T2): operations[0].drill not proved"
