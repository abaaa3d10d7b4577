"""RS274/NGC without arcs, for controllers that take lines only, or that carry arcs out in ways nobody has confirmed."""

from __future__ import annotations

from attrs import define

from kerfwright import fields
from kerfwright.dialect import Dialect
from kerfwright.hookspecs import hookimpl
from kerfwright_dialects.nist6556_core import Nist6556Core

__all__ = ["Nist6556Lines", "kerfwright_dialects"]


@define(frozen=True, kw_only=True)
class Nist6556Lines(Nist6556Core):
    """RS274/NGC (NISTIR 6556), lines only: an arc becomes chords within 0.002 mm, on the side where waste is."""

    name = "nist6556-lines"
    arcs: bool = fields.absent(False)
    helices: bool = fields.absent(False)
    centers: str = fields.absent("incremental")
    rules = tuple(rule for rule in Nist6556Core.rules if "arc" not in rule[0] and "circle" not in rule[0]) + (
        ("no G2 and no G3: chords within 0.002 mm of the arc, on its waste side", "our own subset"),
    )


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [Nist6556Lines]
