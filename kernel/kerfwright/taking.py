"""What an operation beyond the core takes from a sheet and what it must leave: the proof's own description of it.

It is derived from drawing and parameters alone, and shares no code with the operation's ways: a fault in those cannot agree
with itself here. An operation for which no taking is installed is not proved, hence never released.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, ClassVar

import shapely
from attrs import define

from kerfwright.spot import Spot

__all__ = ["Taking"]


@define(frozen=True, kw_only=True)
class Taking:
    """By the `kind` of the operation. Three methods, asked for each piece; a fourth for what is wrong with the result.

    Depths count down from the sheet's top (mm). Where the sheet may be thicker than it is named, `may` and `must` are
    asked a little above the top too, at depths below 0. Z of the taking's walls runs straight from break to break.
    """

    kind: ClassVar[str] = ""

    def breaks(self, operation: Any, spot: Spot) -> Sequence[float]:
        """Depths, rising, at which what is taken changes at once or its walls bend. The first is 0, the last its floor."""
        raise NotImplementedError

    def may(self, operation: Any, spot: Spot, depth: float) -> shapely.Geometry:
        """What of the piece may be gone at a depth above the floor: a cut beyond it is a gouge."""
        raise NotImplementedError

    def must(self, operation: Any, spot: Spot, depth: float) -> shapely.Geometry:
        """What must be gone at a depth, as far as a round cutter can reach: what stands there is a leftover."""
        return self.may(operation, spot, depth)

    def faults(self, operation: Any, spot: Spot) -> Iterable[tuple[str, tuple[float, float]]]:
        """What is wrong with the piece even where it is cut as asked: a sentence and a place. Each keeps it from release."""
        return ()
