"""EIA RS-274-D: interchangeable variable block data format for positioning, contouring and contouring/positioning controls (1979).

Used of it: what `iso6983` uses, but for datum shifts, which it does not have. Arcs end with each quadrant of their own circle,
and I J are distances without sign (G74); over quadrants with signs (G75) is a variation. An arc that moves Z is said as
chords. Refused: rapids along arcs. Every rule below is given from memory, without the page at hand.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright import fields
from kerfwright.dialect import Dialect, Said
from kerfwright.hookspecs import hookimpl
from kerfwright_dialects.iso6983 import Iso6983

__all__ = ["Eia274", "kerfwright_dialects"]

OTHER = ("I and J", "G04", "G54", "G17")
"""Rules of ISO 6983-1 that are others here."""


@define(frozen=True, kw_only=True)
class Eia274(Iso6983):
    """EIA RS-274-D: single-quadrant arcs, upper case, G70 and G71."""

    name = "eia274"
    document = "EIA RS-274-D, Interchangeable Variable Block Data Format (1979)"
    language = "eia274"
    suffix = ".eia"
    last_number = 99_999
    rules: ClassVar[tuple[tuple[str, str], ...]] = (
        *(rule for rule in Iso6983.rules if not rule[0].startswith(OTHER)),
        ("G17 XY plane, G90 absolute dimensions, G94 feed a minute, G40 no compensation, G80 no cycle", "from memory"),
        ("G60 is exact positioning; there are no datum shifts", "from memory"),
        (
            "after G74 an arc stays in one quadrant of its circle; I and J are distances to its center, no sign",
            "from memory",
        ),
        ("after G75 an arc may go over quadrants, and I and J have signs (a variation)", "from memory"),
        ("G04 waits in its block only, its time in seconds in F", "from memory"),
        ("capital letters only; an arc moves X and Y alone, a helix is said as chords within 0.002 mm", "from memory"),
    )

    centers: str = fields.absent("incremental")
    quadrants: str = fields.choice(
        "an arc ends with each quadrant, or goes on over quadrants",
        ("single", "multi"),
        default="single",
        key="word.quadrants",
    )
    helices: bool = fields.flag("an arc may move Z too", default=False, key="word.helices")
    dwell_word: str = fields.absent("F")
    work_offset: int = fields.absent(0)

    def modes(self, said: Said) -> list[str]:
        """Units; XY plane, absolute, feed a minute; no compensation, no cycle; quadrants; exact positioning."""
        units, plane, cancelled, _ = super().modes(said)
        return [units, plane, cancelled, self.g(74 if self.quadrants == "single" else 75, 60)]


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [Eia274]
