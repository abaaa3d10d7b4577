"""Reader of RS274/NGC, written from NISTIR 6556 as remembered, without the page at hand.

What the text does not say is not taken for granted: units, distance mode, plane of an arc and return level of a cycle
must be said before they are relied on, because a controller keeps what the last program left.
Refused where the document would go on: block delete, whose effect depends on a switch; text behind the program's end;
and all that lies outside flat work in the XY plane (`REFUSED`).
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

__all__ = ["Rs274Ngc", "kerfwright_readers"]

_PLANE = "only the XY plane is read"
_CYCLE = "of the canned cycles only G81, G82 and G83 are read"
_RADIUS = "cutter radius compensation is outside what is read"
_OFFSET = "axis offsets are outside what is read"

_GROUPS: dict[str, tuple[str, ...]] = {
    "nonmodal": ("G4", "G10", "G28", "G30", "G53", "G92", "G92.1", "G92.2", "G92.3"),
    "motion": (
        "G0", "G1", "G2", "G3", "G38.2", "G80", "G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89",
    ),
    "plane": ("G17", "G18", "G19"),
    "units": ("G20", "G21"),
    "radius compensation": ("G40", "G41", "G42"),
    "length compensation": ("G43", "G49"),
    "work offset": ("G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"),
    "path control": ("G61", "G61.1", "G64"),
    "distance": ("G90", "G91"),
    "feed mode": ("G93", "G94"),
    "return level": ("G98", "G99"),
    "stopping": ("M0", "M1", "M2", "M30", "M60"),
    "cutter change": ("M6",),
    "spindle": ("M3", "M4", "M5"),
    "coolant": ("M7", "M8", "M9"),
    "overrides": ("M48", "M49"),
}  # fmt: skip
REFUSED: Mapping[str, str] = MappingProxyType({
    "G10": "setting of coordinate systems is outside what is read",
    "G18": _PLANE,
    "G19": _PLANE,
    "G28": "return to a stored place is outside what is read",
    "G30": "return to a stored place is outside what is read",
    "G38.2": "probing is outside what is read",
    "G41": _RADIUS,
    "G42": _RADIUS,
    "G43": "length compensation is outside what is read",
    "G53": "motion in machine coordinates is outside what is read",
    **dict.fromkeys(("G84", "G85", "G86", "G87", "G88", "G89"), _CYCLE),
    **dict.fromkeys(("G92", "G92.1", "G92.2", "G92.3"), _OFFSET),
    "G93": "inverse time feed is outside what is read",
    "M60": "pallet change is outside what is read",
})  # fmt: skip


@define(frozen=True, kw_only=True)
class Rs274Ngc(WordReader):
    """RS274/NGC as NISTIR 6556 defines it."""

    language: ClassVar[str] = "rs274ngc"
    document: ClassVar[str] = "NISTIR 6556, The NIST RS274/NGC Interpreter, version 3"
    grammar = Grammar(by_code(_GROUPS), REFUSED, either=True)
    forms: ClassVar[dict[str, tuple[str, ...]]] = {
        "arc_centers": ("incremental", "radius"),
        "quadrants": ("multi",),
        "dwell_word": ("P",),
    }


@hookimpl
def kerfwright_readers() -> list[type[Reader]]:
    """The reader of RS274/NGC."""
    return [Rs274Ngc]
