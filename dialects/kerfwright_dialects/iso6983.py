"""ISO 6983-1: numerical control of machines, program format and definition of address words (1982, 2009).

Used of it: preparatory functions for rapid, line, arc and helix in the XY plane, dwell, units, absolute dimensions, feed a
minute, cancelling of compensation and cycles, datum shifts, exact positioning; spindle, stop, change of cutter, end.
Refused: rapids along arcs. Canned cycles are always written out as motion: whether G81 comes back to R or to where it came
from is not said in the document as remembered. Every rule below is given from memory, without the page at hand.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright import fields
from kerfwright.dialect import Dialect, Said
from kerfwright.hookspecs import hookimpl
from kerfwright.writing.wordaddress import WordAddress

__all__ = ["Iso6983", "kerfwright_dialects"]


@define(frozen=True, kw_only=True)
class Iso6983(WordAddress):
    """ISO 6983-1 as a light router needs it."""

    name = "iso6983"
    document = "ISO 6983-1, Data format for positioning, line motion and contouring control systems"
    language = "iso6983"
    suffix = ".iso"
    code_digits = 2
    last_number = 9_999_999
    rules: ClassVar[tuple[tuple[str, str], ...]] = (
        ("% alone is the first line: program start", "from memory"),
        ("blocks are numbered, N first, rising; in tens", "from memory; tens are common practice"),
        ("words stand in the order N G X Y Z I J F S T M; G and M have two digits", "from memory"),
        ("lengths in mm after G71, in inches after G70, alone in its block before any length or feed", "from memory"),
        ("G17 XY plane, G90 absolute dimensions, G94 feed a minute, G40 no compensation, G80 no cycle", "from memory"),
        ("G54 to G59 are datum shifts 1 to 6; G60 is exact positioning", "from memory"),
        ("G00 rapid, G01 line, G02 clockwise arc, G03 counter-clockwise arc; they stay in force", "from memory"),
        ("I and J count from the arc's start; from program zero, or a radius R instead, are variations", "from memory"),
        ("G04 waits in its block only; its time is in seconds in X, or in P or F", "from memory"),
        ("S M03 starts the spindle clockwise, M05 stops it; T M06 changes the cutter", "from memory"),
        (
            "M00 stops, M02 or M30 ends the program; a remark stands between control out ( and control in )",
            "from memory",
        ),
        ("a circle is two arcs: ends at one place have no one meaning", "our own rule"),
    )

    start: str = fields.choice("line before everything", ("%", ""), default="%", key="program.start")
    sequence: bool = fields.flag("blocks are numbered", default=True, key="block.sequence")
    quadrants: str = fields.absent("multi")
    dwell_word: str = fields.choice("letter of a dwell", ("X", "P", "F"), default="X", key="word.dwell_word")
    cycles: bool = fields.absent(False)

    def modes(self, said: Said) -> list[str]:
        """Units; XY plane, absolute, feed a minute; no compensation, no cycle; datum shift; exact positioning."""
        units = self.g(70 if self.units == "inch" else 71)
        return [units, self.g(17, 90, 94), self.g(40, 80), self.g(53 + self.work_offset, 60)]

    def turning(self, speed: str) -> str:
        """S before M."""
        return self.blocks(f"S{speed} {self.m(3)}")


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [Iso6983]
