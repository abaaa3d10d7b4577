"""The file that measured sizes are written into: YAML with a blank for each, in the words that `read_measured` reads."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence

from attrs import frozen

__all__ = ["Blank", "direction", "filled_in", "form"]

HEAD = """\
# Write each size behind `measured:`, in mm with a decimal point and all digits that the instrument shows (a blank stays
# between the colon and the number). What is left blank is left out. Then: kerfwright adjust THIS_FILE --job JOB
units: mm
uncertainty:    # standard uncertainty of the measuring, mm; left blank: it is told from the scatter of the sizes
sizes:
"""


FILLED = re.compile(r"\b(measured|uncertainty):[ \t]+[^\s,}#]")


@frozen(kw_only=True)
class Blank:
    """One size to be measured; all but `what` as in `Measured`. Lengths in mm, `along` in degrees from the sheet's X.

    `what` says in words where it lies on the piece, as a comment. `tolerance` are the lower and upper deviation.
    """

    name: str
    kind: str
    nominal: float
    along: float
    what: str = ""
    tolerance: tuple[float, float] | None = None
    cutter: str | None = None
    cut_at: float | None = None


def form(blanks: Sequence[Blank], notes: Iterable[str] = ()) -> str:
    """The file's text: `notes` as comments above, then one line a size, its blank first.

    >>> print(form([Blank(name="hole 1", kind="inside", nominal=3.2, along=90)]).splitlines()[-1])
      - {measured:         , name: "hole 1", kind: inside, nominal: 3.2, along: y}
    """
    rows = [f"# {_comment(n)}\n" for n in notes]
    return "".join([*rows, HEAD, *[_row(b) for b in blanks]])


def filled_in(text: str) -> bool:
    """Somebody wrote into this form: it must not be lost.

    >>> empty = form([Blank(name="hole 1", kind="inside", nominal=3.2, along=0)])
    >>> filled_in(empty), filled_in(empty.replace("measured:   ", "measured: 3.2"))
    (False, True)
    """
    return FILLED.search(text) is not None


def _row(b: Blank) -> str:
    said = [
        f"name: {_text(b.name)}",
        f"kind: {b.kind}",
        f"nominal: {_number(b.nominal)}",
        f"along: {direction(b.along)}",
    ]
    if b.tolerance is not None:
        said.append(f"tolerance: [{_number(b.tolerance[0])}, {_number(b.tolerance[1])}]")
    if b.cutter is not None and b.kind != "centers":
        said.append(f"cutter: {_text(b.cutter)}")
        if b.cut_at is not None:
            said.append(f"cut_at: {_number(b.cut_at)}")
    return f"  - {{measured:         , {', '.join(said)}}}{f'  # {_comment(b.what)}' if b.what else ''}\n"


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def direction(angle: float) -> str:
    """As the form says it: x, y, or degrees from the sheet's X."""
    word = {"0": "x", "180": "x", "90": "y"}
    text = _number(angle % 180)
    return word.get(text, f"{text} deg")


def _text(text: str) -> str:
    """Between quotation marks, as JSON, which is YAML too."""
    return json.dumps("".join(c if c.isprintable() else "?" for c in text), ensure_ascii=False)


def _comment(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)
