"""Reader of EIA RS-274-D, written from the document as remembered, without the page at hand.

Read as ISO 6983-1 is, but for what differs: no datum shifts; after G74 an arc stays in one quadrant of its own circle and I J are
distances to its center without sign, after G75 it may go over quadrants and they have signs; the time of a dwell stands in F;
words have capital letters only. Which of G74 and G75 a text must state, the traits tell.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.hookspecs import hookimpl
from kerfwright.reader import Reader
from kerfwright_dialects.readers.iso6983 import GROUPS, MEANS, REFUSED
from kerfwright_dialects.readers.wordaddress.grammar import Grammar, by_code
from kerfwright_dialects.readers.wordaddress.reading import WordReader

__all__ = ["Eia274Reader", "kerfwright_readers"]

_GROUPS = {name: codes for name, codes in GROUPS.items() if name != "work offset"} | {"quadrants": ("G74", "G75")}
_REFUSED = {code: why for code, why in REFUSED.items() if code != "G53"}


@define(frozen=True, kw_only=True)
class Eia274Reader(WordReader):
    """EIA RS-274-D, interchangeable variable block data format."""

    language: ClassVar[str] = "eia274"
    document: ClassVar[str] = "EIA RS-274-D, interchangeable variable block data format (1979)"
    grammar = Grammar(
        by_code(_GROUPS), _REFUSED, MEANS, units="G70 or G71", rising=True, closes=False, capitals=True, quadrants=True
    )
    forms: ClassVar[dict[str, tuple[str, ...]]] = {
        "arc_centers": ("incremental", "unsigned"),
        "quadrants": ("single", "multi"),
        "dwell_word": ("F",),
    }


@hookimpl
def kerfwright_readers() -> list[type[Reader]]:
    """The reader of EIA RS-274-D."""
    return [Eia274Reader]
