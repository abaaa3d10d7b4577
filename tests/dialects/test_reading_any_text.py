"""Whatever the text, the reader answers with moves or with CannotRead; spelling changes nothing; a run of plain lines read at
once means what its lines mean one by one."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.errors import CannotRead
from kerfwright.moves import Moves
from kerfwright.traits import Traits
from kerfwright_dialects.readers.rs274ngc import Rs274Ngc
from kerfwright_dialects.readers.wordaddress.reading import WORTH
from kerfwright_dialects.readers.wordaddress.table import table

PROGRAMS = {p.stem: p.read_text() for p in sorted((Path(__file__).parent / "reading").glob("[0-9]*.txt"))}
OPEN = "G21\nG17 G90 G94 G98\nG0 X0 Y0 Z5\nF100 S900\n"
LETTERS = "GMXYZIJKRFSTNPQLDHABCEOUVWgxyz"
SIGNS = "0123456789.+-()%/#[]=; \t\n"
READER = Rs274Ngc(traits=Traits(language="rs274ngc"))
quick = settings(max_examples=400, deadline=2000, derandomize=True)


def outcome(text: str, seen: Counter[str]) -> None:
    """Read, and hold what every answer must hold."""
    try:
        moves = READER.read(text)
    except CannotRead as raised:
        fault, moves = raised, None
    if moves is None:
        seen["refused"] += 1
        assert fault.rule
        assert 1 <= fault.line <= text.count("\n") + text.count("\r") + 1
        assert str(fault).isprintable()
        return
    n = len(moves.lines)
    seen["with moves" if n else "without moves"] += 1
    assert moves.curve.nodes.shape == (n + 1, 3)
    assert moves.curve.turns.shape == moves.feeds.shape == moves.spindle.shape == moves.cutter.shape == (n,)
    assert (np.diff(moves.lines) >= 0).all()
    assert ((moves.lines >= 1) & (moves.lines <= moves.length)).all()
    assert np.isfinite(moves.feeds).all()
    assert (moves.feeds >= 0).all()
    assert (np.abs(moves.curve.turns) <= 1.05 * np.pi + 1e-9).all()
    arcs = moves.curve.turns != 0
    assert np.isfinite(moves.curve.nodes[1:][arcs]).all()
    assert np.isfinite(moves.curve.nodes[:-1][arcs]).all()
    assert all(0 <= e.before <= n for e in moves.events)
    known = np.isfinite(moves.curve.nodes)
    assert (known[1:] >= known[:-1]).all()


def test_any_text_is_read_or_refused() -> None:
    """Random characters, alone and behind an opening that says every mode: 800 texts."""
    seen: Counter[str] = Counter()
    some = st.text(st.sampled_from(LETTERS + 3 * SIGNS) | st.characters(), max_size=80)

    @quick
    @given(some)
    def anything(text: str) -> None:
        outcome(text, seen)
        outcome(OPEN + text, seen)

    anything()
    assert seen.total() >= 800
    assert seen["refused"] >= 500


def test_any_words_are_read_or_refused() -> None:
    """Random well-formed words behind an opening: 400 texts, of which many make moves and many are refused."""
    seen: Counter[str] = Counter()
    code = st.sampled_from(["G0", "G1", "G2", "G3", "G81", "G83", "G91", "G90", "G80", "G20", "G99", "M3", "M0", "T1"])
    number = st.integers(-40, 40).map(lambda v: f"{v / 4:g}")
    word = st.tuples(st.sampled_from("XYZXYZXYIJRQPFS"), number).map("".join)
    block = st.tuples(code | st.just(""), st.lists(word, max_size=4, unique_by=lambda w: w[0]))
    line = block.map(lambda b: " ".join([b[0], *b[1]]))

    @quick
    @given(st.lists(line, min_size=1, max_size=6).map("\n".join))
    def words(text: str) -> None:
        outcome(OPEN + text, seen)

    words()
    assert seen.total() >= 400
    assert seen["refused"] >= 100
    assert seen["with moves"] >= 40


def test_a_changed_program_is_read_or_refused() -> None:
    """Hand programs with characters put in, taken out or replaced, lines lost, doubled or swapped: 1000 texts."""
    seen: Counter[str] = Counter()
    edit = st.tuples(
        st.sampled_from(["put", "take", "replace", "lose", "double", "swap"]),
        st.integers(0, 10**6),
        st.sampled_from(LETTERS + SIGNS),
    )

    @settings(quick, max_examples=1000)
    @given(st.sampled_from(sorted(PROGRAMS)), st.lists(edit, min_size=1, max_size=3))
    def changed(name: str, edits: list[tuple[str, int, str]]) -> None:
        text = PROGRAMS[name]
        for what, where, character in edits:
            text = edited(text, what, where, character)
        outcome(text, seen)

    changed()
    assert seen.total() >= 1000
    assert seen["refused"] >= 400
    assert seen["with moves"] >= 200


def edited(text: str, what: str, where: int, character: str) -> str:
    if what in ("put", "take", "replace"):
        k = where % (len(text) + 1)
        return text[:k] + ("" if what == "take" else character) + text[k + (what != "put") :]
    lines = text.split("\n")
    k = where % len(lines)
    if what == "swap":
        j = (k + 1) % len(lines)
        lines[k], lines[j] = lines[j], lines[k]
    else:
        lines[k : k + 1] = [] if what == "lose" else 2 * [lines[k]]
    return "\n".join(lines)


def same(one: Moves, other: Moves, within: float = 0.0) -> None:
    """The same moves and events, but for comments."""
    np.testing.assert_allclose(one.curve.nodes, other.curve.nodes, rtol=0, atol=within)
    np.testing.assert_allclose(one.curve.turns, other.curve.turns, rtol=0, atol=within)
    for name in ("feeds", "lines", "spindle", "cutter"):
        assert getattr(one, name).tolist() == getattr(other, name).tolist()
    assert [e for e in one.events if e.kind != "comment"] == [e for e in other.events if e.kind != "comment"]
    assert one.length == other.length


SPELLINGS = {
    "lower case": str.lower,
    "spaces everywhere": " ".join,
    "tabs before and behind": lambda line: f"\t{line}\t ",
    "no spaces": lambda line: line.replace(" ", ""),
    "leading zeros": lambda line: re.sub(r"([A-Za-z] *[+-]?)(\d)", r"\g<1>00\2", line),
    "a plus sign": lambda line: re.sub(r"([A-Z])([\d.])", r"\1+\2", line),
    "trailing zeros": lambda line: re.sub(r"(\.\d+)", r"\g<1>000", line),
    "a decimal point": lambda line: re.sub(r"([A-Z])(\d+)(?![\d.])", r"\1\2.", line),
    "line numbers": lambda line: "N00070" + line,
    "a comment behind": lambda line: line + " (G0 X99)",
    "a comment before": lambda line: "(M30)" + line,
    "words the other way round": lambda line: " ".join(line.split(" ")[::-1]),
    "carriage returns": lambda line: line + "\r",
}
PLAIN = [n for n in PROGRAMS if not re.search(r"[(%nN]", PROGRAMS[n]) and not n.startswith("17")]


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_spelling_changes_nothing(spelling: str) -> None:
    """Every hand program without comments, percent lines and line numbers of its own, spelled otherwise line by line."""
    assert len(PLAIN) >= 13
    changed = 0
    for name in PLAIN:
        lines = PROGRAMS[name].rstrip("\n").split("\n")
        other = "\n".join(map(SPELLINGS[spelling], lines)) + "\n"
        changed += other != PROGRAMS[name]
        same(READER.read(PROGRAMS[name]), READER.read(other))
    assert changed >= 6


def test_a_run_at_once_means_what_its_lines_mean() -> None:
    """200 runs of 20 to 120 lines, nearly all plain, at once and word by word: the same moves, or the same fault."""
    seen: Counter[str] = Counter()
    number = st.integers(-4000, 4000).map(lambda v: f"{v / 1000:g}")
    word = st.sampled_from("XYZ")
    line = st.tuples(
        st.sampled_from(["", "", "G0 ", "G1 ", "g1", "N10 G1 "]),
        st.dictionaries(word, number, min_size=1, max_size=3),
        st.sampled_from(["", "", "F250", " F2.5"]),
    ).map(lambda t: t[0] + "".join(k + v for k, v in t[1].items()) + t[2])
    ends = st.sampled_from(
        ["X4 Y4 I2 J2", "X4Y4I4J0", "X-3 Y3 J3 Z.5", "X0 I1 J-2", "X10 Y.002 I5 F3", "Y8J4", "X4 Y4 I4.002"]
    )
    arc = st.tuples(st.sampled_from(["G2 ", "g3"]), ends).map("".join)
    arcs = st.lists(arc, min_size=1, max_size=2).map(lambda v: ["G1 X0 Y0", v[0], "g1x0y0", v[-1], "G0 Z1"])
    still = st.sampled_from(["", "F30", "N5", "\t", "G1 X4 Y4", "G0 X0 Y0 Z0"])
    bad = st.sampled_from(["X4 Y4 I2.1 J2", "G1", "G2 X1 J2", "F-1", "N1.0 X1", "X1 X2", "G1 X1 I2", "F0", "G3 X0 I0"])
    lone = st.one_of(line, line, line, still).map(lambda v: [v])
    item = st.one_of(*[lone] * 12, *[arcs] * 12, bad.map(lambda v: [v]))
    run = st.lists(item, min_size=20, max_size=24).map(lambda v: [x for y in v for x in y])
    opening = st.sampled_from(["", "G91\n", "G20\nF7\n", "G20\n", "M3\n"])

    @settings(quick, max_examples=200)
    @given(opening, run)
    def both(head: str, lines: list[str]) -> None:
        opened = (OPEN + head).count("\n")
        text = OPEN + head + "\n".join(lines) + "\n"
        spread = OPEN + head + "\n".join(" ".join(v) for v in lines) + "\n"  # a space inside words: never plain
        plain = table(text, 256).plain[opened:]
        seen["with a run"] += bool(np.convolve(plain, np.ones(WORTH + 4), "valid").max(initial=0) > WORTH + 3)
        assert not (table(spread, 256).plain[opened:] & ([len(v) > 1 for v in lines])).any()
        answers = []
        for spelled in (text, spread):
            try:
                answers.append(READER.read(spelled))
            except CannotRead as fault:
                answers.append((fault.line, fault.word, fault.rule))
        if isinstance(answers[0], Moves):
            seen["read"] += 1
            seen["with arcs"] += bool((answers[0].curve.turns != 0).any())
            same(answers[0], answers[1], within=1e-9)
        else:
            seen["refused"] += 1
            assert answers[0] == answers[1]

    both()
    assert seen["with a run"] >= 100
    assert seen["with arcs"] >= 15
    assert seen["refused"] >= 60


def test_numbers_of_a_run_are_read_exactly() -> None:
    """3000 numbers of up to 17 digits, against the float of each spelling."""
    rng = np.random.default_rng(6556)
    signs, points = rng.choice(["", "-", "+"], 3000), rng.integers(1, 17, 3000)
    digits = ["".join(map(str, rng.integers(0, 10, 17))) for _ in range(3000)]
    numbers = [f"{s}{d[:k][-6:]}.{d[k:]}" for s, d, k in zip(signs, digits, points, strict=True)]
    lines = [f"X{x}Y{y} Z{z}" for x, y, z in zip(numbers[::3], numbers[1::3], numbers[2::3], strict=True)]
    moves = READER.read(OPEN + "\n".join(lines) + "\nM2\n")
    assert moves.curve.nodes[2:].ravel().tolist() == [float(v) for v in numbers]
    assert moves.lines[1:].tolist() == list(range(5, 1005))


def test_a_comment_before_a_run_is_not_what_a_stop_after_it_says() -> None:
    """Nor is it where the lines between are read one by one; blank lines between do not count."""
    for between, said in (("X1\n" * 40, ""), ("X1\n", ""), ("\n" * 40, "turn"), ("N1\n" * 40, "turn")):
        assert READER.read(f"{OPEN}(turn)\n{between}M0\n").events[-1].value == said


def test_what_a_run_leaves_in_force() -> None:
    """Feed, motion code and place, for a block behind it that is followed by itself."""
    run = "G1 X0 Y0\n" * 20 + "F250\nG3 X4 Y4 I2 J2\n"
    moves = READER.read(f"{OPEN}{run}X0 Y0 I-2 J-2 (home)\nM2\n")
    assert moves.feeds[[0, 1, 20, 21, 22]].tolist() == [0, 100, 100, 250, 250]
    assert moves.curve.nodes[-1].tolist() == [0, 0, 5]
    assert np.degrees(moves.curve.turns[-2:]).round(9).tolist() == [180, 180]


def test_a_cutter_change_stops_the_spindle() -> None:
    """Until it is started anew; the speed stays."""
    moves = READER.read(OPEN + "M3\nX1\nT4 M6\nX2\nM3\nX3\nM2\n")
    assert moves.spindle.tolist() == [0, 900, 0, 900]
    assert moves.cutter.tolist() == [0, 0, 4, 4]
