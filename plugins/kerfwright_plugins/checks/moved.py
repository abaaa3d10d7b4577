"""What was free when a run was stopped may lie elsewhere since: nothing cuts along it again."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright.resumption import DOUBT
from kerfwright_plugins.checks.free import free

__all__ = ["Moved"]

TOUCH = 0.01
"""A sweep that ends this near to a chunk goes along it (mm)."""


@define(frozen=True, kw_only=True)
class Moved(Check):
    """After a stop a chunk that no material links, and in which no screw stands, may have been taken out, or been moved by
    the cutter that broke; tape and vacuum too let go while somebody reaches in. No later cut may touch it.
    """

    name = "moved"
    remedy = "resume at a later line, or hold the piece and make a job of what is left of it"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The first cut along each such chunk. Where no run was stopped there is none."""
        for k, r in enumerate(evidence.readings):
            if r.stopped:
                yield from self._after(evidence, k)

    def _after(self, evidence: Evidence, k: int) -> Iterable[Finding]:
        before = Evidence(evidence.setup, evidence.readings[: k + 1])
        later = Evidence(evidence.setup, evidence.readings[k + 1 :])
        cut = later.at(evidence.setup.heights.highest - 0.006)
        if not len(cut):
            return
        for one in before.shared(free):
            near = np.flatnonzero(shapely.distance(cut.lines, one.plan) <= cut.radius + TOUCH)
            if one.fixed or not len(near):
                continue
            n = int(near[np.argmin(cut.first[near])])
            p = shapely.point_on_surface(one.plan)
            names = [f"{evidence.setup.pieces[i].part}, copy {evidence.setup.pieces[i].copy}," for i in one.pieces]
            what = " and ".join(names) if names else "a slug"
            text = (
                f"{what} of {one.plan.area:.1f} mm2 was free at the stop and may have moved, and the cutter would go along it "
                f"again. Where that cut was finished, name a line more than {DOUBT:g} mm of cut beyond it; where there is none, "
                f"nothing is left to do"
            )
            at = (round(float(p.x), 3), round(float(p.y), 3))
            yield Finding(self.name, "error", text, at, *later.course.where(int(cut.first[n])))
