"""Two cutters the whole way, proved clean, for each way of changing them; and what the checks say where a change is spoiled."""

from __future__ import annotations

import json

import attrs
import pytest

import kerfwright as kw
from kerfwright.proof import prove, reading_of
from kerfwright.registry import Registry
from kerfwright.resuming import resume

REGISTRY = Registry.load()
TAG = {
    "job": "tag",
    "sheet": {"material": "gfrp", "size": [60, 44], "thickness": 1.5, "breakthrough": 0.3, "board": 9, "hold": "tape"},
    "cutters": {
        "drill": {"form": "drill", "diameter": 2.5, "point_angle": 118, "flute_length": 15, "number": 4},
        "mill": {"form": "end_mill", "flutes": "burr", "diameter": 2, "teeth": 6, "flute_length": 8, "number": 7},
    },
    "parts": [
        {
            "name": "tag",
            "at": [15, 12],
            "shapes": [
                {"rectangle": {"corner": [0, 0], "size": [30, 20], "radius": 3}},
                {"circle": {"center": [6, 6], "diameter": 2.5}},
                {"circle": {"center": [24, 14], "diameter": 2}, "layer": "small"},
                {"circle": {"center": [15, 10], "diameter": 5}, "layer": "wide"},
            ],
        }
    ],
    "operations": [
        {"pocket": {"cutter": "mill", "select": {"layer": "wide"}, "depth": "through", "radial_depth": 0.4}},
        {"drill": {"cutter": "drill", "select": {"circles": 2.5}}},
        {"profile": {"cutter": "mill", "select": "outer"}},
    ],
    "ignore": {"layer": "small"},
}
"""Mill, drill, mill: three programs where each cutter has its own."""


def made(change, *, output="nist6556", **machine):
    """The job on a machine that changes cutters so."""
    job = TAG | {"machine": {"base": "light-router", "cutter_change": change} | machine, "output": output}
    return kw.make(kw.load_job("-", REGISTRY, text=json.dumps(job)), REGISTRY)


@pytest.mark.parametrize("by_hand", [False, True])
@pytest.mark.parametrize(
    ("change", "files"),
    [
        ("automatic", ["tag-1-mill-drill.nc"]),
        ("pause", ["tag-1-mill-drill.nc"]),
        ("separate_programs", ["tag-1-mill.nc", "tag-2-drill.nc", "tag-3-mill.nc"]),
    ],
)
def test_two_cutters_the_whole_way(change, files, by_hand):
    """No finding at all; the metres of each cutter are those of its own cuts, whatever the change."""
    r = made(change, spindle={"by_hand": by_hand})
    assert [f.message for f in r.findings if f.severity != "note"] == []
    assert [p.file for p in r.programs] == [*files, "tag-walk-round.nc"]
    apart = made("separate_programs")
    cut = {c.name: c.cut_length_mm for c in r.cutters}
    assert cut == pytest.approx({c.name: c.cut_length_mm for c in apart.cutters}, abs=1e-6)
    # one hole: floor at -1.8, the drill's point (2.5/2)/tan 59 deg = 0.751 below it, from the sheet's top at 0
    assert cut["drill"] == pytest.approx(2.0 + 1.8 + 0.751, abs=0.001)


AFTER = ["G21", "G17 G90 G94", "G40 G49 G80", "G54 G61"]


@pytest.mark.parametrize(
    ("change", "stop"),
    [
        ("automatic", ["T4 M6", "(T4 drill: drill D2.5 mm in the spindle? Z touched off with it?)", "M0", *AFTER]),
        ("pause", ["(fit T4 drill: drill D2.5 mm, touch Z off with it)", "M0", *AFTER, "T4"]),
    ],
)
def test_a_change_in_the_text(change, stop):
    """What a change must always do, by hand: up, spindle off, run-down 10 s, stop with a message; modes, spindle, wake-up, X and Y at height."""
    lines = made(change).programs[0].text.splitlines()
    k = lines.index("M0" if change == "pause" else "T4 M6")
    k = k - 1 if change == "pause" else k
    assert lines[k - 3 : k] == ["G0 Z8.000", "M5", "G4 P10.000"]
    assert lines[k : k + len(stop)] == stop
    rest = lines[k + len(stop) :]
    assert rest[0].startswith("M3 S")
    assert rest[1:4] == ["G4 P5.000", "G0 Z8.000", "X21.000 Y18.000"]


def test_run_in_the_job_goes_before_the_machine():
    """`output.run` varies what the machine says: three programs where the machine pauses, one where it would not."""
    say = {"base": "nist6556", "run": {"cutter_change": "separate_programs", "by_hand": True}}
    r = made("pause", output=say)
    assert r.ok
    assert len(r.programs) == 4
    assert all("set the spindle to" in p.text for p in r.programs if p.kind == "program")
    assert len(made("separate_programs", output={"base": "nist6556", "run": {"cutter_change": "pause"}}).programs) == 2


def test_a_dialect_without_a_change_makes_a_program_a_cutter():
    """Whatever the machine could do."""
    r = made("automatic", output="nist6556-core")
    assert r.ok
    assert len(r.programs) == 4


SPOILED = [
    ("pause", "M5\nG4 P10.000\n(fit T4", "(fit T4", "spindle"),
    ("pause", "G4 P10.000\n(fit T4", "G4 P1.000\n(fit T4", "spindle"),
    ("pause", "T4\nM3 S8000\n", "T4\n", "spindle"),
    ("pause", "T4\nM3 S8000\nG4 P5.000", "T4\nM3 S8000", "spindle"),
    ("pause", "G21\nG17 G90 G94\nG40 G49 G80\nG54 G61\nT4", "G40 G49 G80\nG54 G61\nT4", "modes"),
    ("pause", "T4\n", "T7\n", "cutter or depth"),
    ("pause", "T4\n", "T5\n", "cutter"),
    ("pause", "M3 S8000", "M3 S24000", "spindle"),
    ("pause", "R2.000 F60", "R2.000 F600", "feed"),
    ("pause", "X18.000 Z-0.629 F500", "X18.000 Z-0.629 F900", "feed"),
    ("pause", "G0 Z8.000\nX21.000 Y18.000", "G0 X21.000 Y18.000", "restated"),
    ("automatic", "M5\nG4 P10.000\nT4 M6", "T4 M6", "spindle"),
    ("automatic", "T4 M6", "T7 M6", "cutter or depth"),
    ("automatic", "G0 Z8.000\nX21.000", "G0 X21.000", "restated"),
]


@pytest.mark.parametrize(("change", "old", "new", "check"), SPOILED)
def test_a_spoiled_change_is_told(change, old, new, check):
    """Each by hand: what is lost or wrong at the change, and the check that must tell it."""
    r = made(change)
    (p,) = (p for p in r.programs if p.kind == "program")
    assert p.text.count(old) == 1
    job = r.setups[0].job
    readings = [reading_of(q.file, q.kind, q.text.replace(old, new), job.dialect, job, REGISTRY) for q in r.programs]
    told = {f.check for f in prove(attrs.evolve(r.setups[0]), readings, REGISTRY).findings if f.severity == "error"}
    if check == "cutter or depth":  # the mill drills: wrong feed, wrong speed, and its flutes are too short
        assert {"cutter", "feed", "spindle", "gouge", "leftover", "not_through"} & told
    else:
        assert check in told


@pytest.mark.parametrize("change", ["automatic", "pause"])
def test_a_stopped_program_is_taken_up_with_its_changes(change):
    """At a line of each cutter: proved, each change still to come with one stop, and none for one that is past."""
    r = made(change)
    text = r.programs[0].text
    lines = text.splitlines()
    drilled = next(k for k, line in enumerate(lines, 1) if line.startswith("G98 G81"))
    for at, stops in ((30, 2), (drilled, 1), (len(lines) - 8, 0)):
        left = resume(r.job, text, at=at, file="tag-1-mill-drill.nc", registry=REGISTRY)
        assert left.ok
        mine = left.programs[-1].text
        fitted = mine.count("in the spindle?") if change == "automatic" else mine.count("(fit T")
        assert fitted == stops + (change == "automatic")
        assert mine.count("\nM0\n") == 1 + fitted
