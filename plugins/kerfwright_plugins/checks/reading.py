"""Every text has one meaning, said with numbers a machine can have. Asked first: nothing else is followed before."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding

__all__ = ["ReadingCheck"]

FARTHEST = 10_000.0
"""No light router reaches farther than this (mm)."""


@define(frozen=True, kw_only=True)
class ReadingCheck(Check):
    """A text that cannot be read, or says what no machine can do, is an error with its line."""

    name = "reading"
    remedy = "say it in the dialect's own words, or write the program anew"
    first = True

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each program that cannot be followed."""
        if not evidence.programs:
            yield Finding(self.name, "error", "there is no program that cuts, so nothing is proved")
        for r in evidence.readings:
            if r.moves is None:
                why = str(r.fault) if r.fault is not None else "it was not read"
                line = r.fault.line if r.fault is not None else 0
                yield Finding(self.name, "error", f"cannot be read: {why}", program=r.file, line=line)
                continue
            c, f = r.moves.curve, r.moves.feeds
            with np.errstate(invalid="ignore"):
                far = ((np.abs(c.nodes) > FARTHEST) | np.isinf(c.nodes))[1:].any(axis=1)
            lost = np.isfinite(c.nodes[:-1]) & np.isnan(c.nodes[1:])  # what was said once stays said
            bad = (
                far | lost.any(axis=1) | ~np.isfinite(f) | (f < 0) | ~np.isfinite(c.turns) | (np.abs(c.turns) > 6.2832)
            )
            for k in np.flatnonzero(bad)[:1].tolist():
                yield Finding(
                    self.name, "error", "a move to no place or at no feed", program=r.file, line=int(r.moves.lines[k])
                )
