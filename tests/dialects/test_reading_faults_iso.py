"""What the readers of ISO 6983-1 and EIA RS-274-D refuse: line, word and rule, by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfwright.errors import CannotRead
from kerfwright.registry import Registry
from kerfwright.traits import Traits

READERS = Registry.load().readers
ISO = {"language": "iso6983", "dwell_word": "X", "sequence": True, "start": "%"}
EIA = {"language": "eia274", "arc_centers": "unsigned", "quadrants": "single", "dwell_word": "F", "helices": False}
OPEN = "%\nG71\nG17 G90 G94\nG00 Z5\nX10 Y0\nG01 Z-1 F100\n"


def fault(text: str, **traits: object) -> str:
    with pytest.raises(CannotRead) as told:
        READERS[str(traits["language"])](traits=Traits(**traits)).read(text)  # type: ignore[arg-type]
    return str(told.value)


BOTH = [
    ("G21", "line 7: G21: this G code is not in the document"),
    ("G95", "line 7: G95: feeds a turn are outside what is read"),
    ("G81 X1 R1 Z-1", "line 7: G81: canned cycles are outside what is read"),
    ("G18", "line 7: G18: only the XY plane is read"),
    ("G41", "line 7: G41: cutter compensation is outside what is read"),
    ("G49", "line 7: G49: this G code is not in the document"),
    ("M98", "line 7: M98: this M code is not in the document"),
    ("G90 G91", "line 7: G91: a block has at most one word of the modal group distance, and this has G90 already"),
    ("G01 X1 X2", "line 7: X2: a block has at most one X word"),
    ("U4", "line 7: U: no word begins with this letter"),
    ("X", "line 7: X: a word is a letter and a number"),
    ("#1=2", "line 7: #: parameters are outside what is read"),
    ("/X1", "line 7: /: block delete is refused: whether the block is done would depend on a switch"),
    ("%", "line 7: %: a percent line stands first"),
    ("N20 X1\nN20 X2", "line 8: N20: numbers of blocks rise, and N20 came before"),
    ("N20 X1\nN10 X2", "line 8: N10: numbers of blocks rise, and N20 came before"),
    ("X1 N10", "line 7: N10: a line number stands first and has one to "),
    ("G04", "line 7: G4: a dwell needs "),
    ("M02\nX1", "line 8: nothing but percent lines follows the program's end"),
    ("M06", "line 7: M6: a cutter change needs a T word"),
    ("M03", "line 7: M3: a spindle start needs an S word"),
    ("(a (b))", "line 7: (a (b): comments may not be nested"),
]


@pytest.mark.parametrize(("block", "message"), BOTH)
@pytest.mark.parametrize("traits", [ISO, EIA], ids=["iso6983", "eia274"])
def test_a_block_that_either_refuses(block: str, message: str, traits: dict[str, object]) -> None:
    assert fault(OPEN + block, **traits).startswith(message)


OWN = [
    (ISO, "G02 X0 Y10 R10", "line 7: G2: an arc of this dialect has its center in I and J"),
    ({**ISO, "arc_centers": "radius"}, "G03 X0 Y10 I-10 J0", "line 7: G3: an arc of this dialect has a radius R"),
    ({**ISO, "arc_centers": "absolute"}, "G03 X0 Y10 I0", "line 7: G3: the place of an arc's center needs I and J"),
    (
        ISO,
        "G03 X0 Y10 I-9.99 J0",
        "line 7: I-9.99 J0: an arc's center lies equally far from both ends within 0.002 mm, this one 9.9900 and 10.0000 mm",
    ),
    ({**ISO, "arcs": False}, "G03 X0 Y10 I-10 J0", "line 7: G3: this dialect has no arcs"),
    ({**ISO, "helices": False}, "G03 X0 Y10 Z-2 I-10 J0", "line 7: Z-2: an arc of this dialect moves X and Y alone"),
    (ISO, "G04 P3", "line 7: G4: a dwell needs X"),
    (ISO, "G04 X-1", "line 7: X-1: a dwell is not negative"),
    ({**ISO, "dwell_word": "F"}, "G04 X1", "line 7: G4: a dwell needs F"),
    (ISO, "N12345678 X1", "line 7: N12345678: a line number stands first and has one to seven digits"),
    (ISO, "G74", "line 7: G74: this G code is not in the document"),
    (EIA, "G54", "line 7: G54: this G code is not in the document"),
    (EIA, "g01 x1", "line 7: g: words have capital letters only"),
    (EIA, "G75", "line 7: G75: the dialect's arcs are single-quadrant"),
    (EIA, "G03 X0 Y10 I10 J0", "line 7: G3: an arc needs G74 or G75 before it"),
    (
        {**EIA, "quadrants": "multi", "arc_centers": "incremental"},
        "G74",
        "line 7: G74: the dialect's arcs are multi-quadrant",
    ),
    (
        EIA,
        "G74\nG03 X0 Y10 I-10 J0",
        "line 8: I-10 J0: I and J have no sign, and lead to one center about which the arc",
    ),
    (
        EIA,
        "G74\nG03 X-10 Y0 I10 J0",
        "line 8: I10 J0: I and J have no sign, and lead to one center about which the arc",
    ),
    (EIA, "G74\nG03 X0 Y10 Z2 I10 J0", "line 8: Z2: an arc of this dialect moves X and Y alone"),
    (EIA, "N123456 X1", "line 7: N123456: a line number stands first and has one to five digits"),
]


@pytest.mark.parametrize(("traits", "block", "message"), OWN)
def test_a_block_that_one_refuses(traits: dict[str, object], block: str, message: str) -> None:
    assert fault(OPEN + block, **traits).startswith(message)


UNSAID = [
    ("G17 G90 G94\nG00 Z5", "line 2: Z5: a length needs G70 or G71 before it"),
    ("G71\nG00 Z5", "line 2: Z5: an axis word needs G90 or G91 before it"),
    ("G71\nG90\nF100", "line 3: F100: a feed needs G94 before it"),
    ("F100", "line 1: F100: a feed needs G70 or G71 in an earlier block"),
]


@pytest.mark.parametrize(("text", "message"), UNSAID)
@pytest.mark.parametrize("traits", [ISO, EIA], ids=["iso6983", "eia274"])
def test_nothing_is_taken_for_granted(text: str, message: str, traits: dict[str, object]) -> None:
    assert fault(text, **traits) == message


CANNOT = [
    (
        {**ISO, "arc_centers": "unsigned"},
        "arc_centers 'unsigned': this language has 'incremental' or 'absolute' or 'radius'",
    ),
    ({**ISO, "quadrants": "single"}, "quadrants 'single': this language has 'multi'"),
    ({**ISO, "dwell_unit": "min"}, "dwell_unit 'min': this language has 's' or 'ms'"),
    ({**EIA, "arc_centers": "radius"}, "arc_centers 'radius': this language has 'incremental' or 'unsigned'"),
    ({**EIA, "dwell_word": "X"}, "dwell_word 'X': this language has 'F'"),
]


@pytest.mark.parametrize(("traits", "message"), CANNOT)
def test_a_trait_that_the_language_cannot_have(traits: dict[str, object], message: str) -> None:
    assert fault("", **traits) == message


WORDS = st.sampled_from(
    [
        "G00",
        "G01",
        "G02",
        "G03",
        "G04",
        "G17",
        "G70",
        "G71",
        "G74",
        "G75",
        "G90",
        "G91",
        "G94",
        "G54",
        "M00",
        "M02",
        "M03",
        "M06",
        "T1",
        "S900",
        "F80",
        "X1",
        "X-2.5",
        "Y3",
        "Z-1",
        "I1",
        "J0",
        "I0",
        "J2",
        "R4",
        "P1",
        "N10",
        "N20",
        "%",
        "(",
        ")",
        "g1",
        "#",
        "/",
    ]
)
LINES = st.lists(st.lists(WORDS, max_size=6).map(" ".join), max_size=12).map("\n".join)


@pytest.mark.parametrize(
    "traits", [ISO, EIA, {**ISO, "arc_centers": "absolute"}], ids=["iso6983", "eia274", "absolute"]
)
@given(text=st.one_of(LINES, LINES.map(lambda v: OPEN + v), st.text(max_size=60)))
def test_any_text_is_read_or_refused(traits: dict[str, object], text: str) -> None:
    """Nothing else comes out, and no line has moves that lie behind the text."""
    try:
        moves = READERS[str(traits["language"])](traits=Traits(**traits)).read(text)  # type: ignore[arg-type]
    except CannotRead:
        return
    assert moves.lines.max(initial=0) <= moves.length
