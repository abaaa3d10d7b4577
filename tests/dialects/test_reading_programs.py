"""The reader on programs written by hand, against what they mean, worked out by hand."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest

from kerfwright.moves import Moves
from kerfwright.traits import Traits
from kerfwright_dialects.readers.rs274ngc import Rs274Ngc

HERE = Path(__file__).parent / "reading"
PROGRAMS = sorted(p.stem for p in HERE.glob("[0-9]*.txt"))
TEXT_KINDS = {"comment", "message", "pause", "optional_pause"}


def expected(
    name: str,
) -> tuple[list[float], list[tuple[list[float], dict[str, list[float]]]], list[tuple[str, str, int, int]]]:
    """Start, moves (line and end, then the named values) and events of a `.moves` file."""
    start: list[float] = []
    moves: list[tuple[list[float], dict[str, list[float]]]] = []
    events: list[tuple[str, str, int, int]] = []
    for row in (HERE / f"{name}.moves").read_text().splitlines():
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
            assert not row or row.startswith("#"), row
    return start, moves, events


def read(text: str) -> Moves:
    return Rs274Ngc(traits=Traits(language="rs274ngc")).read(text)


@pytest.mark.parametrize("name", PROGRAMS)
def test_a_program_means_what_was_worked_out_by_hand(name: str) -> None:
    """Ends within 1e-6 mm, angles within 1e-6 degrees, feeds, speeds, cutters, program lines and events exactly."""
    start, rows, events = expected(name)
    moves = read((HERE / f"{name}.txt").read_text())
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
    assert len(PROGRAMS) >= 14
