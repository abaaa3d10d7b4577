"""Nothing goes deeper than the breakthrough, and no tip through the board."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK
from kerfwright_plugins.checks.target import target

__all__ = ["TooDeep"]


@define(frozen=True, kw_only=True)
class TooDeep(Check):
    """The full diameter stays above the deepest floor of an operation, breakthrough included; a drill's point may go below it, but not out of the board."""

    name = "too_deep"
    remedy = "set the cutter's length anew, or allow more breakthrough in the job"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The deepest move of each program."""
        course, setup = evidence.course, evidence.setup
        wanted = evidence.shared(target)
        floor = min((wanted.floor(w) for w in setup.works), default=setup.heights.highest)
        board = setup.job.sheet.board
        full = course.low + course.point
        for p in range(len(course.readings)):
            k = np.flatnonzero((course.program == p) & np.isfinite(full))
            if not len(k):
                continue
            worst = int(k[np.argmin(full[k])])
            if full[worst] < floor - SLACK:
                text = f"goes to Z {full[worst]:.3f}, the deepest floor of an operation is {floor:.3f}"
                yield Finding(self.name, "error", text, course.at(worst), *course.where(worst))
            deepest = int(k[np.argmin(course.low[k])])
            under = evidence.lowest - course.low[deepest]
            if under > board + SLACK and board > 0:
                text = f"goes {under:.3f} mm below the sheet, the board is {board:g} mm thick"
                yield Finding(self.name, "error", text, course.at(deepest), *course.where(deepest))
