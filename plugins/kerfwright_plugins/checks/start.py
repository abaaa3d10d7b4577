"""A program begins by going up: Z clears before X and Y move."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding

__all__ = ["Start"]

SLACK = 0.002
"""Rounding of a height in the text (mm): half of the fourth decimal of an inch."""


@define(frozen=True, kw_only=True)
class Start(Check):
    """The first move goes to the travel plane or above, nothing else moves with it, and no height is relied on that was
    never said. A machine without reference switches stops for the operator before it moves.
    """

    name = "start"
    remedy = "begin with Z alone to the travel plane, then X and Y"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Walk-rounds too."""
        travel = evidence.setup.heights.travel
        for r in evidence.readings:
            m = r.moves
            assert m is not None
            if not len(m.curve):
                yield Finding(self.name, "error", "it moves nothing", program=r.file)
                continue
            n = m.curve.nodes
            new = np.isnan(n[:-1, :2]) & np.isfinite(n[1:, :2])
            xy = ((np.abs(n[1:, :2] - n[:-1, :2]) > 1e-9) | new).any(axis=1)
            known = np.isfinite(n).all(axis=1)
            before = np.logical_not(known)[:-1]  # from here on every coordinate has been said
            z0, z1 = n[:-1, 2], n[1:, 2]
            low = ~(np.fmin(np.nan_to_num(z0, nan=-np.inf), z1) >= travel - SLACK)
            for k in np.flatnonzero(before & xy & low)[:1].tolist():
                text = f"X and Y move before Z has cleared to the travel plane at {travel:.3f}"
                yield Finding(self.name, "error", text, None, r.file, int(m.lines[k]))
            for k in np.flatnonzero(before & ~xy & ~(z1 >= travel - SLACK))[:1].tolist():
                text = "goes down at a place that it has not said"
                yield Finding(self.name, "error", text, None, r.file, int(m.lines[k]))
            stops = [e for e in m.events if e.kind == "pause" and e.before == 0 and str(e.value).strip()]
            if not evidence.setup.job.machine.home and not stops:
                text = "the machine has no reference switches, and nothing stops for the operator before it moves"
                yield Finding(self.name, "error", text, None, r.file, int(m.lines[0]))
