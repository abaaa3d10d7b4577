"""The dialect keeps every rule, and is special in what it is meant to be."""

from __future__ import annotations

from kerfwright.program import Dwell, Program
from kerfwright.testing import prove_dialect
from kerfwright.testing.tour import MILL
from weir_tape import WeirTape


def test_it_is_proved() -> None:
    assert prove_dialect(WeirTape).programs == 25


def test_whole_seconds_and_a_rewind() -> None:
    text = WeirTape().write(Program("wait", "program", 1, MILL, 8.0, (Dwell(1.2), Dwell(3.0))))
    assert [line.split(" ", 1)[1] for line in text.splitlines()[-3:]] == ["G4 P2.000", "G4 P3.000", "M30"]
