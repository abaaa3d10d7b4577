"""Nothing is cut far from every outline: such a program is not for this job."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.target import target

__all__ = ["Stray"]

AWAY = 10.0
"""Leads, ramps and wide kerfs stay within this of a piece (mm), or within four diameters of the cutter."""


@define(frozen=True, kw_only=True)
class Stray(Check):
    """Around the pieces the cutter may take waste, but not anywhere on the sheet: there may be another job, or a hand."""

    name = "stray"
    remedy = "see whether program and job belong together, and where its zero lies"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The farthest cut of each program."""
        course = evidence.course
        cut = evidence.at(evidence.setup.heights.highest - 0.006)
        outlines = evidence.shared(target).outlines
        boxes = np.array([shapely.total_bounds(p) for p in outlines if len(p)]).reshape(-1, 4)
        if not len(cut) or not len(boxes):
            return
        limit = np.maximum(AWAY, 8 * cut.radius)
        wide = boxes + np.array([-1, -1, 1, 1]) * float(limit.max())
        near = np.unique(shapely.STRtree(shapely.box(*wide.T)).query(cut.lines)[0])
        far = np.setdiff1d(np.arange(len(cut)), near)
        for p in np.unique(course.program[cut.first[far]]).tolist():
            k = int(far[course.program[cut.first[far]] == p][0])
            x, y = shapely.get_coordinates(cut.lines[k])[0].tolist()
            move = int(cut.first[k])
            text = f"cuts more than {limit[k]:g} mm away from every piece"
            yield Finding(
                self.name, "error", text, (round(x, 3), round(y, 3), round(float(cut.low[k]), 3)), *course.where(move)
            )
