"""Reader of ISO 6983-1, written from the document as remembered, without the page at hand.

Read: rapid, line, arc and helix in the XY plane, dwell, units, absolute and incremental dimensions, feed a minute, cancelling
of compensation and cycles, datum shifts 1 to 6, exact positioning and its end; spindle, cutter, stops, coolant, program end;
remarks between control out and control in. A block may have a number; numbers rise. `%` alone begins a text and nothing
closes it. How a center is said, and which letter carries a dwell, the traits tell.
Refused: everything else, canned cycles and other planes among it (`REFUSED`).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import ClassVar

from attrs import define

from kerfwright.hookspecs import hookimpl
from kerfwright.reader import Reader
from kerfwright_dialects.readers.wordaddress.grammar import Grammar, by_code
from kerfwright_dialects.readers.wordaddress.reading import WordReader

__all__ = ["GROUPS", "MEANS", "REFUSED", "Iso6983Reader", "kerfwright_readers"]

_PLANE = "only the XY plane is read"
_CYCLE = "canned cycles are outside what is read"
_RADIUS = "cutter compensation is outside what is read"

GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "nonmodal": ("G4",),
    "motion": ("G0", "G1", "G2", "G3", "G80", "G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89"),
    "plane": ("G17", "G18", "G19"),
    "units": ("G70", "G71"),
    "radius compensation": ("G40", "G41", "G42"),
    "work offset": ("G53", "G54", "G55", "G56", "G57", "G58", "G59"),
    "path control": ("G60", "G64"),
    "distance": ("G90", "G91"),
    "feed mode": ("G93", "G94", "G95"),
    "speed mode": ("G96", "G97"),
    "stopping": ("M0", "M1", "M2", "M30"),
    "cutter change": ("M6",),
    "spindle": ("M3", "M4", "M5"),
    "coolant": ("M7", "M8", "M9"),
})  # fmt: skip
MEANS: Mapping[str, str] = MappingProxyType({"G70": "G20", "G71": "G21", "G60": "G61.1"})
REFUSED: Mapping[str, str] = MappingProxyType({
    "G18": _PLANE, "G19": _PLANE, "G41": _RADIUS, "G42": _RADIUS,
    "G53": "places without a datum shift are outside what is read",
    "G93": "feeds by time are outside what is read",
    "G95": "feeds a turn are outside what is read",
    "G96": "constant cutting speed is outside what is read",
    "G97": "spindle speeds are always in turns a minute here, and the code is outside what is read",
    **dict.fromkeys(("G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89"), _CYCLE),
})  # fmt: skip


@define(frozen=True, kw_only=True)
class Iso6983Reader(WordReader):
    """ISO 6983-1, program format and definition of address words."""

    language: ClassVar[str] = "iso6983"
    document: ClassVar[str] = "ISO 6983-1, program format and definition of address words"
    grammar = Grammar(by_code(GROUPS), REFUSED, MEANS, units="G70 or G71", number_digits=7, rising=True, closes=False)
    forms: ClassVar[dict[str, tuple[str, ...]]] = {
        "arc_centers": ("incremental", "absolute", "radius"),
        "quadrants": ("multi",),
        "dwell_word": ("X", "P", "F"),
    }


@hookimpl
def kerfwright_readers() -> list[type[Reader]]:
    """The reader of ISO 6983-1."""
    return [Iso6983Reader]
