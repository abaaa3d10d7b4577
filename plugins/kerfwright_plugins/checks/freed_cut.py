"""After a piece is free nothing more is cut in it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Cutting, Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.free import free, since
from kerfwright_plugins.checks.hold import LINKED

__all__ = ["FreedCut"]

TOUCH = 0.01
"""A lap that only follows the wall of a piece once more does not cut in it (mm)."""


@define(frozen=True, kw_only=True)
class FreedCut(Check):
    """A chunk that no material links, and that neither tape, vacuum nor a screw holds, moves under the cutter."""

    name = "freed_cut"
    remedy = (
        "cut what lies inside before the outline, hold the piece by bridges, or lay a keepout where a screw holds it"
    )

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The first cut in each chunk after it came free."""
        if evidence.setup.job.sheet.hold not in LINKED:
            return
        loose = [one for one in evidence.shared(free) if not one.fixed]
        every = Cutting.at(evidence.course, evidence.setup.heights.highest - 0.006) if loose else None
        for one in loose:
            freed = since(one)
            if freed is None or every is None:
                continue
            later = every.take(every.first > freed)
            near = np.flatnonzero(shapely.distance(later.lines, one.plan) < later.radius - TOUCH)
            if len(near):
                k = int(near[0])
                file, line = evidence.course.where(freed)
                text = f"cuts in a chunk of {one.plan.area:.1f} mm2 that is free since line {line} of {file}"
                spot = shapely.get_point(later.lines[k], 0)
                at = (round(spot.x, 3), round(spot.y, 3), round(float(later.low[k]), 3))
                yield Finding(self.name, "error", text, at, *evidence.course.where(int(later.first[k])))
