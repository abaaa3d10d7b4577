"""Where an operation says that material begins deeper, what lies above was gone before it came."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.target import CLOSE, Must, target

__all__ = ["FromDepth"]


@define(frozen=True, kw_only=True)
class FromDepth(Check):
    """The first cut below the depth where material begins finds all that it sweeps, from there up, taken already."""

    name = "from_depth"
    remedy = "do the operation that clears the material above it first, or lower its from"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each outline or pocket."""
        highest = evidence.setup.heights.highest
        for must in evidence.shared(target).musts:
            if must.start < highest - CLOSE and must.work.operation.start > 0:
                yield from self._above(evidence, must)

    def _above(self, evidence: Evidence, must: Must) -> Iterable[Finding]:
        if not len(must.wall):
            return
        where = must.area if must.area is not None else shapely.multilinestrings(list(must.wall))
        deep = evidence.at(must.start - CLOSE - 0.001).near(where, 0.01)
        deep = deep.take(np.abs(deep.radius - must.radius) < 1e-6)
        if not len(deep):
            return  # told as a leftover
        begins = int(deep.first.min())
        over = deep.swept()
        gone = evidence.gone(must.start + CLOSE, over, begins)
        left = shapely.buffer(shapely.difference(over, gone), -0.02)
        if not shapely.is_empty(left):
            spot = shapely.point_on_surface(left)
            piece = evidence.setup.pieces[must.piece]
            text = (
                f"{must.work.path} begins at {must.work.operation.start:g} mm, but material stands above it there when it "
                f"comes to {piece.part}, copy {piece.copy}"
            )
            at = (round(float(spot.x), 3), round(float(spot.y), 3), round(must.start, 3))
            yield Finding(self.name, "error", text, at, *evidence.course.where(begins))
