"""The workshop's router: RS274/NGC with numbers of blocks, whole seconds, and an end that rewinds."""

from __future__ import annotations

import math

from attrs import define

from kerfwright import fields
from kerfwright.dialect import Said
from kerfwright_dialects.nist6556 import Nist6556

__all__ = ["WeirTape"]


@define(frozen=True, kw_only=True)
class WeirTape(Nist6556):
    """RS274/NGC as the workshop's controller was heard to take it."""

    name = "weir-tape"
    document = "NISTIR 6556, and the workshop's own hearing test"
    rules = (*Nist6556.rules, ("a dwell has whole seconds; M30 ends", "the workshop's hearing test (invented)"))

    end: str = fields.absent("M30")
    sequence: bool = fields.flag("blocks are numbered", default=True, key="block.sequence")

    def wait(self, seconds: float, said: Said) -> str:
        """Rounded up: waiting longer hurts nobody."""
        return super().wait(float(math.ceil(seconds)) if seconds > 0 else seconds, said)
