"""Every fault of the reader of RS274/NGC, by hand: text and the exact message."""

from __future__ import annotations

import pytest

from kerfwright.errors import CannotRead
from kerfwright.traits import Traits
from kerfwright_dialects.readers.rs274ngc import Rs274Ngc

OPEN = "G21\nG17 G90 G94 G98\nG0 X0 Y0 Z5\nF100 S900\n"
"""Four lines that say every mode: what follows is line 5."""

GRAMMAR = [
    ("G0 E1", "E: no word begins with this letter"),
    ("G0 O1", "O: no word begins with this letter"),
    ("U1", "U: no word begins with this letter"),
    ("G0 X", "X: a word is a letter and a number"),
    ("X Y1", "XY: a word is a letter and a number"),
    ("G0 X+", "X+: a word is a letter and a number"),
    ("G0 X-.", "X-: a word is a letter and a number"),
    ("G0 X.", "X.: a word is a letter and a number"),
    ("G0 X1.2.3", ".: a number follows a letter"),
    ("G0 X1-2", "-: a number follows a letter"),
    ("G0 X--2", "X-: a word is a letter and a number"),
    ("G0 X1E3", "E: no word begins with this letter"),
    ("12 G0 X1", "1: a number follows a letter"),
    ("G0 X1 ; up", ";: a comment stands in parentheses"),
    ("G0 X1 \u00b2", "\\xb2: this character has no meaning here"),
    ("G0 \u017f1", "\\u017f: this character has no meaning here"),
    ("G0 X1\x00", "\\x00: this character has no meaning here"),
    ("G0 X1 \x0c", "\\x0c: this character has no meaning here"),
    ("G0 X\u0661", "X\\u0661: a word is a letter and a number"),
    ("G0 X1,5", ",: this character has no meaning here"),
    ("G0 X1 %", "%: a percent sign stands alone on its line"),
    ("G0 X1000000000", "X1000000000: a number of this size is refused"),
    ("G0 X1" + 200 * "0", "X1" + 200 * "0" + ": a number of this size is refused"),
    ("G0 X1" + 252 * " ", ": a block has at most 256 characters, this one has 257"),
    ("(" + 255 * "a" + ")", ": a block has at most 256 characters, this one has 257"),
    ("/G0 X1", "/: block delete is refused: whether the block is done would depend on a switch"),
    ("G0 X1 /", "/: block delete is refused: whether the block is done would depend on a switch"),
    ("#1=5", "#: parameters are outside what is read"),
    ("G0 X#1", "X#: parameters are outside what is read"),
    ("G0 X[1+2]", "X[: expressions are outside what is read"),
    ("G0 X1]", "]: expressions are outside what is read"),
    ("G0 X1 = 2", "=: parameter settings are outside what is read"),
    ("G0 X SIN[30]", "XS: a word is a letter and a number"),
]
COMMENTS = [
    ("G0 X1 (up", "(up: a comment must be closed on its line"),
    ("(a (b) c)", "(a (b): comments may not be nested"),
    ("G0 X1 )", "): a comment that ends must have begun"),
    ("(a\x07b)", "\\x07: a comment holds printable characters only"),
    ("G0 X1(a)2", "2: a number follows a letter"),
    ("G0 X(a)2", "X(: a word is a letter and a number"),
]
NUMBERS = [
    ("N-1 G0 X1", "N-1: a line number stands first and has one to five digits"),
    ("N1.5 G0 X1", "N1.5: a line number stands first and has one to five digits"),
    ("N123456", "N123456: a line number stands first and has one to five digits"),
    ("G0 N1 X1", "N1: a line number stands first and has one to five digits"),
    ("N1 N2", "N2: a line number stands first and has one to five digits"),
]
CODES = [
    ("G5 X1", "G5: this G code is not in the document"),
    ("G0.5 X1", "G0.5: this G code is not in the document"),
    ("G1.00001 X1", "G1.00001: this G code is not in the document"),
    ("G-1 X1", "G-1: this G code is not in the document"),
    ("G70", "G70: this G code is not in the document"),
    ("G73 X1 Z-1 R1 Q1", "G73: this G code is not in the document"),
    ("M98", "M98: this M code is not in the document"),
    ("M3.5", "M3.5: this M code is not in the document"),
    ("G10 L2 P1 X0", "G10: setting of coordinate systems is outside what is read"),
    ("G18", "G18: only the XY plane is read"),
    ("G19", "G19: only the XY plane is read"),
    ("G28", "G28: return to a stored place is outside what is read"),
    ("G30 Z0", "G30: return to a stored place is outside what is read"),
    ("G38.2 Z-5", "G38.2: probing is outside what is read"),
    ("G41 D1", "G41: cutter radius compensation is outside what is read"),
    ("G42", "G42: cutter radius compensation is outside what is read"),
    ("G43 H1", "G43: length compensation is outside what is read"),
    ("G53 G0 Z0", "G53: motion in machine coordinates is outside what is read"),
    ("G84 X1 Z-1 R1", "G84: of the canned cycles only G81, G82 and G83 are read"),
    ("G85 X1 Z-1 R1", "G85: of the canned cycles only G81, G82 and G83 are read"),
    ("G86 X1 Z-1 R1", "G86: of the canned cycles only G81, G82 and G83 are read"),
    ("G87 X1 Z-1 R1", "G87: of the canned cycles only G81, G82 and G83 are read"),
    ("G88 X1 Z-1 R1", "G88: of the canned cycles only G81, G82 and G83 are read"),
    ("G89 X1 Z-1 R1", "G89: of the canned cycles only G81, G82 and G83 are read"),
    ("G92 X0", "G92: axis offsets are outside what is read"),
    ("G92.1", "G92.1: axis offsets are outside what is read"),
    ("G92.2", "G92.2: axis offsets are outside what is read"),
    ("G92.3", "G92.3: axis offsets are outside what is read"),
    ("G93", "G93: inverse time feed is outside what is read"),
    ("M60", "M60: pallet change is outside what is read"),
]
REPEATS = [
    ("X1 X2", "X2: a block has at most one X word"),
    ("F1 F1", "F1: a block has at most one F word"),
    ("G0 G1 X1", "G1: a block has at most one word of the modal group motion, and this has G0 already"),
    ("G1 G01 X1", "G01: a block has at most one word of the modal group motion, and this has G1 already"),
    ("G20 G21", "G21: a block has at most one word of the modal group units, and this has G20 already"),
    ("G90 G91", "G91: a block has at most one word of the modal group distance, and this has G90 already"),
    ("G98 G99", "G99: a block has at most one word of the modal group return level, and this has G98 already"),
    ("G54 G55", "G55: a block has at most one word of the modal group work offset, and this has G54 already"),
    ("G61 G64", "G64: a block has at most one word of the modal group path control, and this has G61 already"),
    ("G17 G17", "G17: a block has at most one word of the modal group plane, and this has G17 already"),
    ("G4 P1 G4", "G4: a block has at most one nonmodal code, and this has G4 already"),
    ("M3 M5", "M5: a block has at most one word of the modal group spindle, and this has M3 already"),
    ("M0 M30", "M30: a block has at most one word of the modal group stopping, and this has M0 already"),
    ("M7 M8", "M8: a block has at most one word of the modal group coolant, and this has M7 already"),
    ("T1 M6 M3 M8 M48 M0", "M0: a block has at most 4 M words"),
]
USES = [
    ("G0 X1 A0", "A0: rotary axes are outside what is read"),
    ("B1", "B1: rotary axes are outside what is read"),
    ("C1", "C1: rotary axes are outside what is read"),
    ("D1", "D1: D belongs to cutter radius compensation, which is outside what is read"),
    ("H1", "H1: H belongs to length compensation, which is outside what is read"),
    ("G2 X1 I1 K0", "K0: K is no use to an arc in the XY plane, nor to anything else that is read"),
    ("G1 X1 I1", "I1: I is used only with G2 and G3"),
    ("J1", "J1: J is used only with G2 and G3"),
    ("G1 X1 L1", "L1: L is used only with a canned cycle"),
    ("P1", "P1: P is used only with G4 and G82"),
    ("G81 X1 Z-1 R1 P1", "P1: P is used only with G4 and G82"),
    ("G81 X1 Z-1 R1 Q1", "Q1: Q is used only with G83"),
    ("G1 X1 R1", "R1: R is used only with G2, G3 and a canned cycle"),
    ("G80 X1", "X1: G80 ends all motion: there are no axis words with it"),
    ("G80\nX1", "X1: axis words need a motion code in force"),
    ("G1", "G1: a motion code needs at least one axis word"),
    ("G0 F500", "G0: a motion code needs at least one axis word"),
    ("G2 I1", "G2: a motion code needs at least one axis word"),
    ("G81 R1", "G81: a motion code needs at least one axis word"),
    ("G4", "G4: a dwell needs P"),
    ("G4 X1", "G4: a dwell needs P"),
    ("G4 P-1", "P-1: a dwell is not negative"),
    ("G82 X1 Z-1 R1 G4 P1", "P1: G4 and G82 in one block both ask for P"),
]
RATES = [
    ("F-1", "F-1: a feed is not negative"),
    ("S-1", "S-1: a spindle speed is not negative"),
    ("T-1", "T-1: a cutter number is whole and not negative"),
    ("T1.5", "T1.5: a cutter number is whole and not negative"),
    ("M6", "M6: a cutter change needs a T word"),
    ("G1 X1 F0", "F0: a feed motion needs a feed above 0"),
    ("F0\nG1 X1", "G1: a feed motion needs a feed above 0"),
    ("G20\nG1 X1", "G1: a feed motion needs a feed above 0; the one given was in other units"),
    ("G54", "G54: a work offset after the first place: where the cutter stands would not be known"),
]
ARCS = [
    ("G2 X10 R4.99", "R4.99: the radius is too small to reach the end of the arc"),
    ("G2 X10 R4.997", "R4.997: the radius is too small to reach the end of the arc"),
    ("G2 X0.003 R0", "R0: the radius is too small to reach the end of the arc"),
    ("G2 X10 R0", "R0: the radius is too small to reach the end of the arc"),
    ("G2 X0 Y0 R5", "R5: an arc given by its radius must end elsewhere than it starts"),
    ("G2 X10 R5 I5", "R5: an arc has a center or a radius, not both"),
    ("G2 X10", "G2: an arc needs I, J or R"),
    ("G3 Z1 I5", "G3: an arc needs X or Y"),
    (
        "G2 X10 Y0 I5.003 J0",
        "I5.003 J0: an arc's center lies equally far from both ends within 0.002 mm, this one 5.0030 and 4.9970 mm",
    ),
    (
        "G2 X10 J3",
        "J3: an arc's center lies equally far from both ends within 0.002 mm, this one 3.0000 and 10.4403 mm",
    ),
    ("G2 X0 I0", "I0: an arc has a radius, and ends in two directions from its center or in one point"),
    ("G2 X0.001 I-10", "I-10: an arc has a radius, and ends in two directions from its center or in one point"),
]
CYCLES = [
    ("G81 X1 Z-1", "G81: this cycle needs R"),
    ("G81 X1 R1", "G81: this cycle needs Z"),
    ("G82 X1 Z-1 R1", "G82: this cycle needs P"),
    ("G83 X1 Z-1 R1", "G83: this cycle needs Q"),
    ("G81 X1 Z-1 R1 L2", "L2: repeats of a cycle are outside what is read"),
    ("G81 X1 Z-1 R1 L0", "L0: repeats of a cycle are outside what is read"),
    ("G81 X1 Z-1 R-2", "R-2: a cycle needs R not below Z"),
    ("G81 X1 Z-1 R1 F0", "F0: a feed motion needs a feed above 0"),
    ("G82 X1 Z-1 R1 P-1", "P-1: a dwell is not negative"),
    ("G83 X1 Z-1 R1 Q0", "Q0: G83 needs Q above 0"),
    ("G83 X1 Z-1 R1 Q-1", "Q-1: G83 needs Q above 0"),
    ("G83 X1 Z-1 R1 Q0.0001", "Q0.0001: more than 1000 pecks in one hole are refused"),
]
LATER = [
    ("G81 X1 Z-1 R1\nX2 Z3", 6, "G81: a cycle needs R not below Z"),
    ("G81 X1 Z-1 R1\nG83 X2 Q1", 6, "G83: this cycle needs R"),
    ("G81 X1 Z-1 R1\nG0 X2\nG81 X2", 7, "G81: this cycle needs R"),
    ("G81 X1 Z-1 R1\nG91 X2", 6, "G81: this cycle needs R"),
    ("G81 X1 Z-1 R1\nG20\nF9\nX2", 8, "G81: this cycle needs R"),
    ("G81 X1 Z-1 R1\nR2", 6, "R2: R is used only with G2, G3 and a canned cycle"),
    (
        "G99 G81 X1 Z-1 R1\nG98 X2",
        6,
        "G81: G98 after G99 in a row of cycles: which height to return to has two meanings",
    ),
    ("G83 X1 Z-1 R1 Q1\nX2 Z-2000", 6, "G83: more than 1000 pecks in one hole are refused"),
    (
        "G91 G99 G81 X1 Z-1 R-1\nX2",
        6,
        "G81: in a row of incremental cycles under G99 R must be given again: where it counts from has two meanings",
    ),
    ("M2\nG0 X1", 6, "nothing but percent lines follows the program's end"),
    ("M30\n(done)", 6, "nothing but percent lines follows the program's end"),
    ("X1\n%", 6, "%: a percent line ends only a file that begins with one"),
]
WHOLE = [
    ("%\nG21\n", 1, "%: a file that begins with a percent line ends with one"),
    ("G0 X1", 1, "X1: a length needs G20 or G21 before it"),
    ("G21\nG0 X1", 2, "X1: an axis word needs G90 or G91 before it"),
    ("G21 G90\nX1", 2, "X1: axis words need a motion code in force"),
    ("G21 G91\nG0 Z1", 2, "Z1: an increment from an unknown Z"),
    ("G21 G90\nG0 X1\nG91 X1\nY2", 4, "Y2: an increment from an unknown Y"),
    ("G21 G90\nG1 X1", 2, "G1: a feed motion needs a feed above 0, and none was given"),
    ("G21 F100", 1, "F100: a feed needs G20 or G21 in an earlier block"),
    ("G21\nF100", 2, "F100: a feed needs G94 before it"),
    ("G21\nM3", 2, "M3: a spindle start needs an S word"),
    ("G21\nM4", 2, "M4: a spindle start needs an S word"),
    ("G21\nG90 G94 F1\nG2 X1 I1", 3, "G2: an arc or a cycle needs G17 before it"),
    ("G21\nG90 G94 F1\nG98 G81 X1 Z0 R1", 3, "G81: an arc or a cycle needs G17 before it"),
    ("G21\nG17 G90 G94 F1\nG3 X1 Y1 I1", 3, "G3: an arc from an unknown place"),
    ("G21\nG17 G90 G94 F1\nG0 X0 Y0\nG3 X1 Y1 I1", 4, "G3: an arc from an unknown place"),
    ("G21\nG17 G90 G94 F1\nG0 X0 Y0\nG98 G81 X1 Z0 R1", 4, "G81: a cycle from an unknown place"),
    ("G21\nG17 G90 G94 F1\nG0 X0 Z5\nG98 G81 X1 Z0 R1", 4, "G81: a cycle from an unknown place"),
    ("G21\nG17 G90 G94 F1\nG0 X0 Y0 Z5\nG81 X1 Z0 R1", 4, "G81: a cycle needs G98 or G99 before it"),
    ("G54\nG55", 2, "G55: a work offset after the first place: where the cutter stands would not be known"),
    (OPEN + 20 * "X0\n" + "F-1\n" + 20 * "X0\n" + "F9\n", 25, "F-1: a feed is not negative"),
    ("\ufeffG21", 1, "\\ufeff: this character has no meaning here"),
    ("G21\r\nG5", 2, "G5: this G code is not in the document"),
    ("G21\rG5", 2, "G5: this G code is not in the document"),
    ("\n\n  \nG5\n", 4, "G5: this G code is not in the document"),
]
ONE_BLOCK = GRAMMAR + COMMENTS + NUMBERS + CODES + REPEATS + USES + RATES + ARCS + CYCLES


def fault(text: str, **traits: object) -> str:
    with pytest.raises(CannotRead) as caught:
        Rs274Ngc(traits=Traits(language="rs274ngc", **traits)).read(text)  # type: ignore[arg-type]
    assert str(caught.value).count("\n") == 0
    return str(caught.value)


@pytest.mark.parametrize(("text", "message"), ONE_BLOCK, ids=lambda v: ascii(v)[:30])
def test_a_block_is_refused(text: str, message: str) -> None:
    """The message names the line, the word and the rule."""
    line = 5 + text.count("\n")
    assert fault(OPEN + text + "\n") == f"line {line}: {message}".replace(": : ", ": ")


@pytest.mark.parametrize(("text", "line", "message"), LATER, ids=lambda v: ascii(v)[:30])
def test_a_block_is_refused_for_what_came_before(text: str, line: int, message: str) -> None:
    """What earlier blocks have said decides."""
    assert fault(OPEN + text + "\n") == f"line {line}: {message}"


@pytest.mark.parametrize(("text", "line", "message"), WHOLE, ids=lambda v: ascii(v)[:30])
def test_a_text_is_refused(text: str, line: int, message: str) -> None:
    """Nothing is relied on that the text has not said."""
    assert fault(text) == f"line {line}: {message}"


def test_what_the_dialect_does_not_have_is_refused() -> None:
    """Traits decide on arcs and on the length of a block; others must be known to the reader."""
    assert fault(OPEN + "G2 X10 I5", arcs=False) == "line 5: G2: this dialect has no arcs"
    assert fault(OPEN + 81 * "(", block_length=80) == "line 5: a block has at most 80 characters, this one has 81"
    assert fault("", arc_centers="absolute") == "arc_centers 'absolute': this language has 'incremental' or 'radius'"
    assert fault("", dwell_unit="min") == "dwell_unit 'min': this language has 's' or 'ms'"


def test_the_longest_line_is_read() -> None:
    """256 characters pass."""
    text = OPEN + "G1 X1" + 251 * " " + "\n(" + 254 * "a" + ")\nM2"
    assert Rs274Ngc(traits=Traits(language="rs274ngc")).read(text).lines.tolist() == [3, 5]


@pytest.mark.parametrize(
    ("text", "message"), [*ONE_BLOCK, ("G3 Z1 I5 F9", "G3: an arc needs X or Y")], ids=lambda v: ascii(v)[:30]
)
def test_a_block_is_refused_amid_plain_lines(text: str, message: str) -> None:
    """A run of lines that are read at once does not let through what is refused alone."""
    line = 25 + text.count("\n")
    assert fault(OPEN + 20 * "X0\n" + text + 20 * "\nG1X0" + "\n") == f"line {line}: {message}".replace(": : ", ": ")
