"""What the reader of ISO 4343 refuses: line, word and rule, by hand."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.errors import CannotRead
from kerfwright.moves import Moves
from kerfwright.registry import Registry
from kerfwright.traits import Traits

READER = Registry.load().readers["iso4343"]
HAS = {"language": "iso4343", "arc_centers": "absolute", "helices": False, "cycles": False, "block_length": 72}
OPEN = "UNITS/MM\nCLEARP/XYPLAN,5\nRETRCT\nRAPID\nGOTO/10,0,5\nFEDRAT/60,PERMIN\n"
DOWN = OPEN + "GOTO/10,0,-1\n"


def read(text: str, **more: object) -> Moves:
    return READER(traits=Traits(**{**HAS, **more})).read(text)  # type: ignore[arg-type]


FAULTS = [
    (OPEN + "goto/1,1,1", "line 7: goto/1,1,1: a statement is a major word in capital letters, a slash, and what follows it"),
    (OPEN + "GOTO/1,1", "line 7: GOTO/1,1: GOTO is followed by three numbers: X, Y, Z"),
    (OPEN + "GOTO/1,1,1,1", "line 7: GOTO/1,1,1,1: GOTO is followed by three numbers: X, Y, Z"),
    (OPEN + "GOTO/1,,1", "line 7: GOTO: between slash, commas and the end of a line stand words or numbers"),
    (OPEN + "GOTO/1,1,1e2", "line 7: GOTO/1,1,1e2: GOTO is followed by three numbers: X, Y, Z"),
    (OPEN + "GOTO", "line 7: GOTO: GOTO is followed by three numbers: X, Y, Z"),
    (OPEN + "GODLTA/0,0,1", "line 7: GODLTA/0,0,1: places are absolute only"),
    (OPEN + "FROM/0,0,1", "line 7: FROM/0,0,1: where the cutter stands at the beginning is not for a text to say"),
    (OPEN + "CYCLE/DRILL,1", "line 7: CYCLE/DRILL,1: canned cycles are outside what is read"),
    (OPEN + "WIBBLE/1", "line 7: WIBBLE/1: this word is outside what is read"),
    (OPEN + "RAPID\nFEDRAT/80,PERMIN\nGOTO/1,1,1", "line 8: FEDRAT/80,PERMIN: RAPID is followed by its GOTO"),
    (OPEN + "RAPID\n", "line 7: RAPID and CIRCLE are followed by their GOTO"),
    (OPEN + "RAPID/1", "line 7: RAPID/1: nothing follows RAPID"),
    (OPEN + "FEDRAT/80", "line 7: FEDRAT/80: FEDRAT is followed by a number and PERMIN"),
    (OPEN + "FEDRAT/80,PERREV", "line 7: FEDRAT/80,PERREV: FEDRAT is followed by a number and PERMIN"),
    (OPEN + "FEDRAT/0,PERMIN", "line 7: FEDRAT/0,PERMIN: a feed is above 0"),
    (OPEN + "CLEARP/XYPLAN,3\nRETRCT", "line 8: RETRCT: RETRCT withdraws, and the clearance plane lies below the cutter"),
    (OPEN + "CLEARP/3", "line 7: CLEARP/3: CLEARP is followed by XYPLAN and a height"),
    (OPEN + "SPINDL/9000", "line 7: SPINDL/9000: SPINDL is followed by OFF, or by a speed and CLW or CCLW"),
    (OPEN + "SPINDL/0,CLW", "line 7: SPINDL/0,CLW: a speed is above 0"),
    (OPEN + "DELAY/-1", "line 7: DELAY/-1: a delay is not negative"),
    (OPEN + "DELAY", "line 7: DELAY: DELAY is followed by a number of seconds"),
    (OPEN + "LOADTL/1.5", "line 7: LOADTL/1.5: a cutter's number is whole and not negative"),
    (OPEN + "CUTTER/0", "line 7: CUTTER/0: a diameter is above 0"),
    (OPEN + "COOLNT/WARM", "line 7: COOLNT/WARM: COOLNT is followed by ON or OFF or FLOOD or MIST"),
    (OPEN + "PARTNO late", "line 7: PARTNO: PARTNO stands first"),
    (OPEN + "UNITS/CM", "line 7: UNITS/CM: UNITS is followed by MM or INCHES"),
    (OPEN + "UNITS/INCHES\nGOTO/1,1,1", "line 8: GOTO/1,1,1: a move needs FEDRAT before it, in the units in force, or RAPID"),
    (OPEN + "UNITS/INCHES\nRETRCT", "line 8: RETRCT: RETRCT needs CLEARP before it"),
    (OPEN + "END\nGOTO/1,1,1", "line 8: GOTO/1,1,1: nothing but FINI follows END"),
    (OPEN + "END\nFINI\nSTOP", "line 9: STOP: nothing follows FINI"),
    (OPEN + "PPRINT " + "a" * 66, "line 7: a line has at most 72 characters, and this has 73"),
    (OPEN + "PPRINT \u00d8 2", "line 7: \\xd8: a text has printable characters of ASCII only"),
    (DOWN + "CIRCLE/0,0,-1,0,0,1,10\nSTOP", "line 9: STOP: CIRCLE is followed by its GOTO"),
    (DOWN + "CIRCLE/0,0,-1,0,1,0,10\nGOTO/0,10,-1", "line 8: CIRCLE/0,0,-1,0,1,0,10: the axis of a circle is 0,0,1 or 0,0,-1"),
    (DOWN + "CIRCLE/0,0,-1,0,0,1\nGOTO/0,10,-1", "line 8: CIRCLE/0,0,-1,0,0,1: CIRCLE is followed by seven numbers: center, axis, radius"),
    (DOWN + "CIRCLE/0,0,-1,0,0,1,0\nGOTO/0,10,-1", "line 8: CIRCLE/0,0,-1,0,0,1,0: a radius is above 0"),
    (DOWN + "CIRCLE/0,0,-2,0,0,1,10\nGOTO/0,10,-1", "line 9: GOTO/0,10,-1: an arc begins and ends at the height of its circle's center"),
    (DOWN + "CIRCLE/0,0,-1,0,0,1,10\nGOTO/0,10,-2", "line 9: GOTO/0,10,-2: an arc begins and ends at the height of its circle's center"),
    (DOWN + "CIRCLE/0,0,-1,0,0,1,10\nGOTO/10,0,-1", "line 9: GOTO/10,0,-1: an arc ends elsewhere than it begins: a whole circle is two"),
    (DOWN + "CIRCLE/0,0,-1,0,0,1,10\nGOTO/0,10.003,-1", "line 9: GOTO/0,10.003,-1: an arc's ends lie on its circle: radii 10.0000, 10.0030 and 10.0000 mm differ by more than 0.002 mm"),
    (DOWN + "CIRCLE/0,0,-1,0,0,1,10.003\nGOTO/0,10,-1", "line 9: GOTO/0,10,-1: an arc's ends lie on its circle: radii 10.0000, 10.0000 and 10.0030 mm differ by more than 0.002 mm"),
    ("CLEARP/XYPLAN,5", "line 1: CLEARP/XYPLAN,5: a length needs UNITS before it"),
    ("UNITS/MM\nRETRCT", "line 2: RETRCT: RETRCT needs CLEARP before it"),
    ("UNITS/MM\nFEDRAT/9,PERMIN\nCIRCLE/0,0,0,0,0,1,1\nGOTO/1,0,0", "line 4: GOTO/1,0,0: an arc needs a place before it"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "message"), FAULTS)
def test_a_statement_is_refused(text, message):
    with pytest.raises(CannotRead) as told:
        read(text)
    assert str(told.value) == message


@pytest.mark.parametrize(
    ("trait", "message"),
    [
        ({"arc_centers": "incremental"}, "arc_centers 'incremental': this language has 'absolute'"),
        ({"dwell_unit": "ms"}, "dwell_unit 'ms': this language has 's'"),
        ({"helices": True}, "helices True: this language has False"),
        ({"cycles": True}, "cycles True: this language has False"),
    ],
)
def test_a_trait_that_the_language_cannot_have(trait, message):
    with pytest.raises(CannotRead) as told:
        read("", **trait)
    assert str(told.value) == message


WORDS = st.sampled_from(
    [
        "UNITS/MM",
        "UNITS/INCHES",
        "CLEARP/XYPLAN,5",
        "RETRCT",
        "RAPID",
        "GOTO/1,1,1",
        "GOTO/10,0,-1",
        "GOTO/0,10,-1",
        "GOTO/-3,.5,2",
        "GOTO/1,1",
        "FEDRAT/60,PERMIN",
        "CIRCLE/0,0,-1,0,0,1,10",
        "CIRCLE/0,0,-1,0,0,-1,10",
        "SPINDL/9000,CLW",
        "SPINDL/OFF",
        "DELAY/2",
        "STOP",
        "OPSTOP",
        "END",
        "FINI",
        "LOADTL/2",
        "/",
        "$",
        "goto",
    ]
)
LINES = st.lists(WORDS, max_size=20).map("\n".join)


@given(text=st.one_of(LINES, LINES.map(lambda v: DOWN + v), st.text(max_size=60).map(lambda v: OPEN + v)))
@settings(max_examples=300, derandomize=True, deadline=None)
def test_any_text_is_read_or_refused(text):
    """Nothing else comes out, and no line has moves that lie behind the text."""
    try:
        moves = read(text)
    except CannotRead:
        return
    assert moves.lines.max(initial=0) <= moves.length
    assert np.isfinite(moves.feeds).all()


def test_a_run_at_once_means_what_its_lines_mean():
    """150 runs of moves, some with a fault, at once and with a blank before each word, which no run has: the same moves or the
    same fault; at least 60 are read, with arcs, and 30 refused.
    """
    seen = Counter()
    number = st.integers(-4000, 4000).map(lambda v: f"{v / 100:g}")
    goto = st.tuples(number, number, number).map(lambda v: "GOTO/" + ",".join(v))
    move = st.one_of(goto, goto.map(lambda v: "RAPID\n" + v), goto.map(lambda v: "FEDRAT/70,PERMIN\n" + v))
    arc = st.sampled_from([
        "GOTO/10,0,-1\nCIRCLE/0,0,-1,0,0,1,10\nGOTO/0,10,-1", "GOTO/10,0,-1\nCIRCLE/0,0,-1,0,0,-1,10\nGOTO/0,10,-1",
        "GOTO/3,4,2\nFEDRAT/90,PERMIN\nCIRCLE/0,0,2,0,0,-1,5\nGOTO/-3,-4,2",
    ])  # fmt: skip
    bad = st.sampled_from(
        ["GOTO/10,0,-1\nCIRCLE/0,0,-1,0,0,1,10\nGOTO/0,10.01,-1", "FEDRAT/0,PERMIN\nGOTO/1,1,1", "RAPID\nSTOP"]
    )
    still = st.just("GOTO/1,2,3")
    item = st.integers(0, 60).flatmap(lambda k: bad if k == 7 else (arc, move, still)[k % 3])
    runs = st.lists(item, min_size=18, max_size=40)

    @settings(max_examples=150, derandomize=True, deadline=None)
    @given(runs, st.sampled_from([OPEN, OPEN + "UNITS/INCHES\nFEDRAT/3,PERMIN\n"]))
    def both(lines, head):
        text = head + "\n".join(lines) + "\n"
        answers = []
        for spelled in (text, text.replace("\n", "\n ").rstrip(" ")):
            try:
                m = read(spelled)
                answers.append(
                    [
                        v.tolist()
                        for v in (
                            np.nan_to_num(m.curve.nodes, nan=-9e9).round(9),
                            m.curve.turns.round(9),
                            m.feeds,
                            m.lines,
                        )
                    ]
                )
            except CannotRead as e:
                answers.append((e.line, e.word, e.rule))
        assert answers[0] == answers[1]
        seen["refused" if isinstance(answers[0], tuple) else "read"] += 1
        seen["arcs"] += "CIRCLE" in text

    both()
    print(dict(seen))
    assert seen["read"] >= 60
    assert seen["refused"] >= 30
    assert seen["arcs"] >= 60
