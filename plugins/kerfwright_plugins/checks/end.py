"""A program ends at the travel plane, spindle off, and says that it ends."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["End"]


@define(frozen=True, kw_only=True)
class End(Check):
    """The last height is the travel plane or above, the spindle was told to stop, and the program end is the last word."""

    name = "end"
    remedy = "end with a lift to the travel plane, spindle off, and the program end"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Walk-rounds too."""
        travel = evidence.setup.heights.travel
        for r in evidence.readings:
            m = r.moves
            assert m is not None
            last = int(m.lines[-1]) if len(m.lines) else 0
            z = float(m.curve.nodes[-1, 2])
            if not z >= travel - SLACK:
                text = (
                    f"ends at Z {z:.3f}, below the travel plane at {travel:.3f}" if np.isfinite(z) else "ends nowhere"
                )
                yield Finding(self.name, "error", text, None, r.file, last)
            ends = [e for e in m.events if e.kind == "end"]
            if not ends:
                yield Finding(self.name, "error", "has no program end", None, r.file, m.length)
            elif ends[0].before < len(m.curve):
                yield Finding(self.name, "error", "moves after its program end", None, r.file, ends[0].line)
            said = [e for e in m.events if e.kind == "spindle" and (not ends or e.line <= ends[0].line)]
            if said and said[-1].value != "off":
                yield Finding(self.name, "error", "does not stop the spindle", None, r.file, said[-1].line)
