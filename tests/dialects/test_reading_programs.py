"""The reader on programs written by hand, against what they mean, worked out by hand."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kerfwright.moves import Moves
from kerfwright.registry import Registry
from kerfwright.traits import Traits

READERS = Registry.load().readers

FOLDERS = {
    "rs274ngc": "reading",
    "iso6983": "reading-iso6983",
    "eia274": "reading-eia274",
    "iso4343": "reading-iso4343",
}
"""Where the programs of each language lie."""
HERE = {language: Path(__file__).parent / folder for language, folder in FOLDERS.items()}
PROGRAMS = sorted((language, p.stem) for language, folder in HERE.items() for p in folder.glob("[0-9]*.txt"))
DEFAULTS: dict[str, dict[str, Any]] = {
    "iso6983": {"dwell_word": "X", "sequence": True, "start": "%"},
    "eia274": {
        "arc_centers": "unsigned",
        "quadrants": "single",
        "dwell_word": "F",
        "helices": False,
        "sequence": True,
        "start": "%",
    },
    "iso4343": {"arc_centers": "absolute", "helices": False, "cycles": False, "block_length": 72},
}
"""Traits of a language's texts where a program does not say otherwise; they are those of its dialect as it stands."""
TEXT_KINDS = {"comment", "message", "pause", "optional_pause"}


def traits_of(language: str, name: str) -> Traits:
    """What a `.moves` file says the text declares."""
    said: dict[str, Any] = {"language": language, **DEFAULTS.get(language, {})}
    for row in (HERE[language] / f"{name}.moves").read_text().splitlines():
        if row.startswith("traits "):
            _, key, value = row.split()
            typed = {"true": True, "false": False, "-": ""}.get(value, value)
            said[key] = int(value) if value.isdigit() else typed
    return Traits(**said)


def expected(
    language: str,
    name: str,
) -> tuple[list[float], list[tuple[list[float], dict[str, list[float]]]], list[tuple[str, str, int, int]]]:
    """Start, moves (line and end, then the named values) and events of a `.moves` file."""
    start: list[float] = []
    moves: list[tuple[list[float], dict[str, list[float]]]] = []
    events: list[tuple[str, str, int, int]] = []
    for row in (HERE[language] / f"{name}.moves").read_text().splitlines():
        kind, _, rest = row.partition(" ")
        if kind == "event":
            match = re.fullmatch(r"(\w+) (?:([^|]*)\||(\S+) )(\d+) (\d+)", rest.partition(" #")[0].rstrip())
            assert match, row
            value = match[2] if match[2] is not None else match[3]
            events.append((match[1], "" if value == "-" else value, int(match[4]), int(match[5])))
        elif kind in ("start", "move"):
            words = rest.partition("#")[0].replace("?", "nan").split()
            if kind == "start":
                start = [float(w) for w in words]
                continue
            named: dict[str, list[float]] = {}
            for word in words[4:]:
                if word.isalpha() and word != "nan":
                    named[word] = []
                    last = named[word]
                else:
                    last.append(float(word))
            moves.append(([float(w) for w in words[:4]], named))
        else:
            assert not row or row.startswith(("#", "traits ")), row
    return start, moves, events


def read(language: str, name: str) -> Moves:
    traits = traits_of(language, name)
    return READERS[language](traits=traits).read((HERE[language] / f"{name}.txt").read_text())


@pytest.mark.parametrize(("language", "name"), PROGRAMS, ids=lambda v: v)
def test_a_program_means_what_was_worked_out_by_hand(language: str, name: str) -> None:
    """Ends within 1e-6 mm, angles within 1e-6 degrees, feeds, speeds, cutters, program lines and events exactly."""
    start, rows, events = expected(language, name)
    moves = read(language, name)
    curve = moves.curve
    assert [int(r[0][0]) for r in rows] == moves.lines.tolist()
    np.testing.assert_allclose(curve.nodes, [start, *[r[0][1:] for r in rows]], rtol=0, atol=1e-6)
    np.testing.assert_allclose(np.degrees(curve.turns), [r[1].get("turn", [0.0])[0] for r in rows], rtol=0, atol=1e-6)
    np.testing.assert_allclose(moves.feeds, [r[1]["feed"][0] for r in rows], rtol=0, atol=1e-9)
    assert moves.spindle.tolist() == [r[1].get("rpm", [0.0])[0] for r in rows]
    assert moves.cutter.tolist() == [r[1].get("cutter", [0.0])[0] for r in rows]
    for k, (_, named) in enumerate(rows):
        if "center" in named:
            np.testing.assert_allclose(curve.centers[k], named["center"], rtol=0, atol=1e-6)
        if "length" in named:
            length = curve.lengths_3d[k] if curve.turns[k] == 0 else curve.lengths[k]
            assert math.isclose(length, named["length"][0], rel_tol=0, abs_tol=1e-6)
    said = [
        (e.kind, e.value if e.kind in TEXT_KINDS or isinstance(e.value, str) else f"{e.value:g}", e.line, e.before)
        for e in moves.events
    ]
    assert said == events


def test_there_are_programs_enough() -> None:
    """A lost folder must not pass for success."""
    for language in FOLDERS:
        assert sum(one == language for one, _ in PROGRAMS) >= 12


TRAITS = ("arc_centers", "dwell_word", "dwell_unit", "work_offset", "sequence", "start")


@pytest.mark.parametrize(
    ("language", "trait"),
    [("iso6983", t) for t in TRAITS]
    + [("eia274", t) for t in ("quadrants", "arc_centers", "helices", "dwell_unit", "sequence", "start")]
    + [("rs274ngc", t) for t in ("dwell_unit", "helices", "arcs")]
    + [("iso4343", "cutter_change")],
)
def test_a_trait_is_fixed_by_a_program(language: str, trait: str) -> None:
    """Some program by hand declares it otherwise than the language's others."""
    values = {getattr(traits_of(one, name), trait) for one, name in PROGRAMS if one == language}
    assert len(values) > 1
