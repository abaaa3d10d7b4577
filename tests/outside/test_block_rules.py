"""Check 19: rules for blocks of NISTIR 6556 (RS274/NGC; tables of modal groups and of the order of execution, from memory)."""

from __future__ import annotations

import itertools

import pytest

from kerfwright.errors import CannotRead
from kerfwright.moves import Moves
from kerfwright.traits import Traits
from kerfwright_dialects.readers.rs274ngc import Rs274Ngc

OPEN = "G21\nG17 G90 G94 G98\nG0 X0 Y0 Z5\nF100 S900 T1\n"


def read(text: str) -> Moves:
    return Rs274Ngc(traits=Traits(language="rs274ngc")).read(OPEN + text + "\n")


def refused(text: str, rule: str) -> None:
    with pytest.raises(CannotRead) as caught:
        read(text)
    assert rule in caught.value.rule
    assert caught.value.line == 5


# Modal groups of the document, without what the reader refuses in any case.
G_GROUPS = {
    1: ["G0", "G1", "G2", "G3", "G80", "G81", "G82", "G83"],
    2: ["G17"],
    3: ["G90", "G91"],
    5: ["G94"],
    6: ["G20", "G21"],
    7: ["G40"],
    8: ["G49"],
    10: ["G98", "G99"],
    12: ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"],
    13: ["G61", "G61.1", "G64"],
}
M_GROUPS = {
    4: ["M0", "M1", "M2", "M30"],
    6: ["M6"],
    7: ["M3", "M4", "M5"],
    8: ["M7", "M8", "M9"],
    9: ["M48", "M49"],
}
PAIRS = [pair for group in (*G_GROUPS.values(), *M_GROUPS.values()) for pair in itertools.product(group, repeat=2)]


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_one_word_a_modal_group(one: str, other: str) -> None:
    """Any two words of a group in one block are an error, also the same twice."""
    refused(f"{one} {other} X1", "a block has at most one word of the modal group")


def test_words_of_different_groups_stand_together() -> None:
    """One of each G group (except offsets after a place), and four M words of four groups."""
    assert read("G1 X1 G17 G91 G94 G21 G40 G49 G99 G64 M6 M3 M8 M48").lines.tolist() == [3, 5]


def test_at_most_four_m_words() -> None:
    """Four of different groups pass, five do not."""
    read("M6 M3 M8 M48")
    refused("M6 M3 M8 M48 M0", "at most 4 M words")


def test_at_most_256_characters() -> None:
    """256 pass, 257 do not, whatever they are."""
    read("G0 X1".ljust(256))
    refused("G0 X1".ljust(257), "at most 256 characters")


def test_no_nested_comment() -> None:
    """And none left open."""
    read("G0 X1 (one) (two)")
    refused("(one (two))", "comments may not be nested")
    refused("(one", "must be closed")


@pytest.mark.parametrize("cycle", ["G81 X1 Z-1", "G82 X1 Z-1 P1", "G83 X1 Z-1 Q1"])
def test_cycles_need_r_not_below_z_and_a_feed(cycle: str) -> None:
    """R equal to Z passes."""
    read(f"{cycle} R1")
    read(f"{cycle} R-1")
    refused(f"{cycle} R-1.001", "R not below Z")
    refused(f"{cycle}", "needs R")
    refused(f"{cycle} R1 F0", "feed above 0")


def test_pecks_need_q_above_0() -> None:
    """Neither 0 nor less."""
    read("G83 X1 Z-1 R1 Q.5")
    for q in ("0", "-0", "-.5"):
        refused(f"G83 X1 Z-1 R1 Q{q}", "Q above 0")


ORDER = [
    ("(ready)", "comment"), ("G94", "feed_mode"), ("S800", "speed"), ("T2", "cutter"), ("M6", "change"),
    ("M3", "spindle"), ("M8", "coolant"), ("M48", "override"), ("G4 P1", "dwell"), ("G17", "plane"), ("G21", "units"),
    ("G40", "offset"), ("G49", "offset"), ("G64", "path"), ("G91", "distance"), ("G99", "return_level"),
]  # fmt: skip


@pytest.mark.parametrize("turn", range(len(ORDER)))
def test_order_of_execution_does_not_depend_on_the_order_of_words(turn: int) -> None:
    """Comment, feed mode, feed, speed, cutter, change, spindle, coolant, overrides, dwell, plane, units, compensation,
    path, distance, return level, motion; every rotation of the words, forwards and backwards, gives the same."""
    words = [word for word, _ in ORDER] + ["G1 X7", "F250"]
    turned = words[turn:] + words[:turn]
    for spelled in (turned, turned[::-1]):
        moves = read(" ".join(spelled))
        events = [e for e in moves.events if e.line == 5]
        assert [e.kind for e in events] == [kind for _, kind in ORDER]
        assert {e.before for e in events} == {1}
        assert (moves.feeds[1], moves.spindle[1], moves.cutter[1]) == (250, 800, 2)
        assert moves.curve.nodes[2].tolist() == [7, 0, 5]


def test_a_stop_comes_last() -> None:
    """After the motion of its block."""
    for stop, kind in (("M0", "pause"), ("M1", "optional_pause"), ("M2", "end"), ("M30", "end")):
        event = read(f"{stop} G1 X7").events[-1]
        assert (event.kind, event.before) == (kind, 2)
