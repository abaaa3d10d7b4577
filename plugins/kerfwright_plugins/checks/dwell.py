"""Nobody waits in the cut: a cutter that turns at one place rubs, and sets dust on fire."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence, Reading
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["Dwell"]

LONG = 60.0
"""A wait that is this much longer (s) than the spindle or a cycle needs is a slip of units (from memory)."""


@define(frozen=True, kw_only=True)
class Dwell(Check):
    """Below the sheet's top only as long as a cycle of that cutter declares; above it no longer than the machine needs."""

    name = "dwell"
    remedy = "take the wait out, or declare it as the cycle's dwell; see whether seconds and milliseconds were confused"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The first of each kind in each program; walk-rounds too."""
        for r in evidence.readings:
            yield from list(self._in(evidence, r))[:2]

    def _in(self, evidence: Evidence, r: Reading) -> Iterable[Finding]:
        assert r.moves is not None
        m, setup = r.moves, evidence.setup
        spindle = setup.job.machine.spindle
        most = max(spindle.wake_s, spindle.run_down_s) + LONG
        turning = False
        for e in m.events:
            if e.kind == "spindle":
                turning = e.value != "off"
            turning = turning and e.kind not in ("change", "end")
            if e.kind != "dwell":
                continue
            z, seconds = float(m.curve.nodes[e.before, 2]), float(e.value)
            number = int(m.cutter[min(e.before, len(m.cutter) - 1)]) if len(m.cutter) else 0
            declared = max(
                (
                    float(getattr(getattr(w.operation, "cycle", None), "dwell", 0.0) or 0.0)
                    for w in setup.works
                    if number in (0, w.operation.cutter.number)
                ),
                default=0.0,
            )
            if turning and np.isfinite(z) and z < setup.heights.highest - SLACK and seconds > declared + 1e-3:
                text = f"waits {seconds:g} s in the cut, at Z {z:.3f}; the job declares {declared:g} s"
                yield Finding(self.name, "error", text, _at(m.curve.nodes[e.before]), r.file, e.line)
            elif seconds > most + declared:
                text = f"waits {seconds:g} s; the machine needs {max(spindle.wake_s, spindle.run_down_s):g} s at most"
                yield Finding(self.name, "error", text, None, r.file, e.line)


def _at(node: np.ndarray) -> tuple[float, ...]:
    return tuple(round(float(v), 3) + 0.0 for v in node)
