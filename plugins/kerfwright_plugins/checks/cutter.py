"""The cutter that the text names is one the job uses, and long enough for what it does."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["CutterCheck"]


@define(frozen=True, kw_only=True)
class CutterCheck(Check):
    """Named by a T word (or by the user, where the text has none); used by an operation; its flutes, or its reach where it
    has a relieved neck, longer than the deepest cut; its nut above the sheet.
    """

    name = "cutter"
    remedy = "name the job's cutter by its T word, and fit one that is long enough"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Of each program the first move of each cutter that is wrong."""
        course, setup = evidence.course, evidence.setup
        highest = setup.heights.highest
        used = {w.operation.cutter.number for w in setup.works}
        with np.errstate(invalid="ignore"):
            low = course.low < highest - SLACK
        for p in range(len(course.readings)):
            mine = np.flatnonzero(low & (course.program == p))
            for i in np.unique(course.cutter[mine]).tolist():
                k = mine[course.cutter[mine] == i]
                first, deep = int(k[0]), int(k[np.argmin(course.low[k])])
                if i < 0:
                    yield self._told(evidence, first, self._unknown(evidence, first))
                    continue
                c = course.cutters[i]
                if c.number not in used:
                    yield self._told(evidence, first, f"cuts with {c.name} (T{c.number}), which no operation uses")
                depth = highest - float(course.low[deep])
                if depth > (c.reach or c.flute_length) + SLACK:
                    what = "reach" if c.reach else "flutes"
                    yield self._told(
                        evidence,
                        deep,
                        f"{depth:.2f} mm deep, the {what} of {c.name} measure {c.reach or c.flute_length:g} mm",
                    )
                if c.holder is not None and depth > c.holder.above + SLACK:
                    yield self._told(
                        evidence,
                        deep,
                        f"{depth:.2f} mm deep, the nut of {c.name} is {c.holder.above:g} mm above its tip",
                    )

    def _unknown(self, evidence: Evidence, move: int) -> str:
        r = evidence.course.readings[int(evidence.course.program[move])]
        assert r.moves is not None
        first = int(np.searchsorted(evidence.course.program, evidence.course.program[move]))
        number = int(r.moves.cutter[move - first])
        has = ", ".join(f"T{c.number}" for c in evidence.course.cutters)
        return f"cuts with T{number}, the job has {has}" if number else f"cuts before a T word; the job has {has}"

    def _told(self, evidence: Evidence, move: int, text: str) -> Finding:
        return Finding(self.name, "error", text, evidence.course.at(move), *evidence.course.where(move))
