"""What a mark takes: a groove about each line, as wide as the cutter is at that height."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

import shapely
from attrs import define

from kerfwright.spot import Spot
from kerfwright.sweep import swept
from kerfwright.taking import Taking
from kerfwright_plugins.lettering import lettered

if TYPE_CHECKING:
    from kerfwright_plugins.operations.mark import Mark

__all__ = ["MarkTaking"]


@define(frozen=True, kw_only=True)
class MarkTaking(Taking):
    """All of it may go, and must. The letters are the drawing of a text; where each stands is worked out here."""

    kind: ClassVar[str] = "mark"

    def breaks(self, operation: Mark, spot: Spot) -> Sequence[float]:
        """The top and the floor."""
        return (0.0, operation.depth)

    def may(self, operation: Mark, spot: Spot, depth: float) -> shapely.Geometry:
        """The lines, swept."""
        lines = [*(one.curve for one in spot.loops), *spot.lines]
        if operation.text is not None and operation.at is not None:
            named = {"{part}": spot.piece.part, "{copy}": f"{spot.piece.copy}"}
            words = operation.text
            for one, name in named.items():
                words = words.replace(one, name)
            drawn = lettered(words, operation.at[0], operation.at[1], operation.height, operation.turn)
            dx, dy = spot.piece.shift
            lines = [one.rotated(spot.piece.turn).moved(dx, dy) for one in drawn]
        return swept(lines, operation.cutter.radius_at(operation.depth - depth), 0.0005)
