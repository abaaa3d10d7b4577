"""`prove_dialect`: the built-in dialects pass, and a dialect with one fault is refused by the rule that the fault breaks."""

from __future__ import annotations

import itertools
import re

import pytest
from attrs import define

from kerfwright.errors import BrokenPromise
from kerfwright.registry import Registry
from kerfwright.testing import prove_dialect
from kerfwright_dialects.nist6556 import Nist6556

REGISTRY = Registry.load()


@pytest.mark.parametrize("name", sorted(REGISTRY.dialects))
def test_a_built_in_dialect_is_proved(name):
    report = prove_dialect(REGISTRY.dialects[name], REGISTRY, programs=3)
    assert (report.programs, report.name) == (4, name)
    assert report.lines > 100
    assert report.jobs >= 1


COUNT = itertools.count()
TEXTS = {
    "says no units": ("reading", lambda t: t.replace("G21\n", "")),
    "says inches and means mm": ("opening", lambda t: t.replace("G21\n", "G20\n")),
    "is a hundredth off in X": (
        "round trip",
        lambda t: re.sub(r"X(-?[\d.]+)", lambda m: f"X{float(m[1]) + 0.01:.3f}", t),
    ),
    "feeds faster": ("round trip", lambda t: re.sub(r"F(\d+)", lambda m: f"F{int(m[1]) + 1}", t)),
    "feeds where it should go by rapid": ("round trip", lambda t: t.replace("G0 Z60.000", "G1 Z60.000")),
    "leaves stops out": ("round trip", lambda t: t.replace("M0\n", "")),
    "leaves dwells out": ("round trip", lambda t: re.sub(r"G4 P.*\n", "", t)),
    "turns the spindle slower": ("round trip", lambda t: t.replace("S18000", "S8000")),
    "goes round arcs the other way": (
        "round trip",
        lambda t: t.replace("G2 ", "G9 ").replace("G3 ", "G2 ").replace("G9 ", "G3 "),
    ),
    "does not end": ("end", lambda t: t.replace("M2\n", "")),
    "has long lines": ("block rules", lambda t: t.replace("G21\n", f"G21\n({'a' * 300})\n")),
    "has odd characters": ("block rules", lambda t: t.replace("G21\n", "G21\n(\N{DIAMETER SIGN}2)\n")),
    "ends in the middle of a line": ("block rules", lambda t: t[:-1]),
    "has a sign before zero": ("number format", lambda t: t.replace("X0.000", "X-0.000")),
    "is never the same": ("determinism", lambda t: t.replace("G21\n", f"G21\n({next(COUNT)})\n")),
    "restates nothing after a stop": ("whole way", lambda t: re.sub(r"M0\n(G.*\n)+?(?=M|G0|\()", "M0\n", t)),
    "goes across before it goes up": (
        "whole way",
        lambda t: re.sub(r"G0 (Z[89]\.000)\n(X\S+ Y\S+)\n", r"G0 \2\n\1\n", t),
    ),
}


@pytest.mark.parametrize("what", TEXTS)
def test_a_dialect_that(what):
    """The first rule that is told is the one that the fault breaks."""
    rule, change = TEXTS[what]

    @define(frozen=True, kw_only=True)
    class Broken(Nist6556):
        """A dialect with a fault."""

        name = "broken"

        def finished(self, text):
            return change(text)

    with pytest.raises(BrokenPromise) as told:
        prove_dialect(Broken, REGISTRY, programs=2)
    assert str(told.value).splitlines()[1].startswith(rule), str(told.value)


class Nameless(Nist6556):
    """No name of its own that could be one."""

    name = "No Name"
    document = ""
    rules = ()
    suffix = "nc"


class Unread(Nist6556):
    """A language nobody reads."""

    name = "unread"
    language = "nobody"


class Careless(Nist6556):
    """Waits for any time."""

    name = "careless"

    def wait(self, seconds, said):
        return "" if seconds < 0 else super().wait(seconds, said)


class Stepless(Nist6556):
    """Has no word for a dwell."""

    name = "stepless"
    dwell = None


FORMS = [
    (
        Nameless,
        [
            "form: found the name",
            "form: found no document",
            "form: found the suffix",
            "form: found a dialect or a rule",
        ],
    ),
    (Unread, ["form: output.dialect: found 'unread'"]),
    (Careless, ["refusals: it says a dwell below 0"]),
    (Stepless, ["steps: tour cannot be said: stepless cannot say Dwell"]),
]


@pytest.mark.parametrize(("cls", "rows"), FORMS)
def test_a_form_that_is_not_one(cls, rows):
    with pytest.raises(BrokenPromise) as told:
        prove_dialect(cls, REGISTRY, programs=2)
    found = str(told.value).splitlines()[1:]
    assert len(found) == len(rows)
    assert all(a.startswith(b) for a, b in zip(found, rows, strict=True)), found
