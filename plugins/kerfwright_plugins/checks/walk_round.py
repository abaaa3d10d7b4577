"""A walk-round shows in the air what the programs will take up."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence, Reading
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["WalkRound"]

Extent = tuple[float, float, float, float]


@define(frozen=True, kw_only=True)
class WalkRound(Check):
    """Never below the travel plane, spindle never started, a stop at each corner of the rectangle of all cuts."""

    name = "walk_round"
    remedy = "make the walk-round anew for these programs"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Every walk-round of the sheet; that there is none is no finding."""
        for r in evidence.readings:
            if r.kind == "walk-round":
                yield from self._one(evidence, r)

    def _one(self, evidence: Evidence, r: Reading) -> Iterable[Finding]:
        m, travel = r.moves, evidence.setup.heights.travel
        assert m is not None
        n = m.curve.nodes
        for k in np.flatnonzero(n[1:, 2] < travel - SLACK)[:1].tolist():
            text = f"goes down to Z {n[k + 1, 2]:.3f}, the travel plane is {travel:.3f}"
            yield Finding(self.name, "error", text, None, r.file, int(m.lines[k]))
        for e in [e for e in m.events if e.kind == "spindle" and e.value != "off"][:1]:
            yield Finding(self.name, "error", "starts the spindle", None, r.file, e.line)
        wide = _extent(evidence)
        if wide is None:
            return
        stops = np.array([n[e.before, :2] for e in m.events if e.kind == "pause"]).reshape(-1, 2)
        x0, y0, x1, y1 = wide
        for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)):
            out = np.array([1 if x == x1 else -1, 1 if y == y1 else -1])
            beyond = (stops - [x, y]) * out
            # at the corner or outside of it, but not so far that it shows something else
            if not ((beyond > -0.01) & (beyond < 1.0)).all(1).any():
                yield Finding(self.name, "error", f"does not stop at the corner X {x:.3f} Y {y:.3f}", (x, y), r.file)


def _extent(evidence: Evidence) -> Extent | None:
    """Rectangle of the cutter's sweep wherever it is below the travel plane."""
    course = evidence.course
    a, b, move = course.chords
    use = np.minimum(a[:, 2], b[:, 2]) < evidence.setup.heights.travel - SLACK
    use &= np.isfinite(course.radius[move])
    if not use.any():
        return None
    r = course.radius[move[use]][:, None]
    low = np.minimum(a[use, :2], b[use, :2]) - r
    high = np.maximum(a[use, :2], b[use, :2]) + r
    return float(low[:, 0].min()), float(low[:, 1].min()), float(high[:, 0].max()), float(high[:, 1].max())
