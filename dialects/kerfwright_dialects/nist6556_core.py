"""RS274/NGC in a stated subset, for controllers whose cycles and changes of cutter nobody has confirmed.

Left out of NISTIR 6556 as `nist6556` uses it: canned cycles (drill strokes are written out as motion) and any change of cutter
inside a program (one program a cutter). All else, and every rule from memory, as there.
"""

from __future__ import annotations

from attrs import define

from kerfwright import fields
from kerfwright.dialect import Dialect
from kerfwright.hookspecs import hookimpl
from kerfwright_dialects.nist6556 import Nist6556

__all__ = ["Nist6556Core", "kerfwright_dialects"]


@define(frozen=True, kw_only=True)
class Nist6556Core(Nist6556):
    """RS274/NGC (NISTIR 6556) without canned cycles and without change of cutter."""

    name = "nist6556-core"
    changes = ("separate_programs",)
    cycles: bool = fields.absent(False)
    cutter_change: str | None = fields.absent()
    rules = tuple(rule for rule in Nist6556.rules if not any(word in rule[0] for word in ("G81", "cycle", "M6"))) + (
        ("no canned cycle and no M6: strokes as motion, one program a cutter", "our own subset"),
        ("T alone changes nothing by itself: the operator has fitted the cutter it names", "from memory"),
    )


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [Nist6556Core]
