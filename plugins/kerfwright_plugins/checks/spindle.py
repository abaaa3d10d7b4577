"""The spindle turns, at the right speed, before anything is cut, and stands wherever the operator is asked to reach in."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.arrays import Ints
from kerfwright.evidence import Evidence, Reading
from kerfwright.finding import Check, Finding
from kerfwright.moves import Event
from kerfwright_plugins.checks.start import SLACK

__all__ = ["Spindle"]

STOPS = ("pause", "optional_pause", "change")


@define(frozen=True, kw_only=True)
class Spindle(Check):
    """No feed below the travel plane before the spindle turns clockwise at the speed of the job's rates, its wake-up time is
    over, and, where speed is set by hand, a stop has said so. At a stop the cutter is up and the spindle has run down.
    """

    name = "spindle"
    remedy = (
        "start it clockwise at the rates' speed, and wait for it before the first cut; lift and stop it before a stop"
    )

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """Programs only: a walk-round never starts it."""
        for k, r in enumerate(evidence.programs):
            yield from self._speeds(evidence, k)
            yield from self._events(evidence, r)

    def _speeds(self, evidence: Evidence, program: int) -> Iterable[Finding]:
        course, setup = evidence.course, evidence.setup
        with np.errstate(invalid="ignore"):
            low = (course.program == program) & ~course.rapid & (course.low < setup.heights.travel - SLACK)
        at = np.flatnonzero(low)
        spindle, rpm = setup.job.machine.spindle, course.spindle[at]
        wanted = {
            i: [w.rates.spindle for w in setup.works if w.operation.cutter.number == c.number]
            for i, c in enumerate(course.cutters)
        }
        off = np.flatnonzero(rpm <= 0)
        for j in off[:1].tolist():
            text = "feeds below the travel plane while the spindle does not turn"
            yield Finding(self.name, "error", text, course.at(int(at[j])), *course.where(int(at[j])))
        rows = np.column_stack([rpm, course.cutter[at]])
        for said, first in zip(*np.unique(rows, axis=0, return_index=True)):
            move, speed, rates = int(at[first]), float(said[0]), wanted.get(int(said[1]), [])
            if speed <= 0:
                continue
            if not spindle.least - 1 <= speed <= spindle.most + 1:
                text = f"{speed:g} rpm, the spindle turns {spindle.least:g} to {spindle.most:g} rpm"
                yield Finding(self.name, "error", text, course.at(move), *course.where(move))
            elif rates and min(abs(speed - v) for v in rates) > 1:
                text = f"{speed:g} rpm, the job's rates say {' or '.join(f'{v:.0f}' for v in sorted(set(rates)))} rpm"
                yield Finding(self.name, "error", text, course.at(move), *course.where(move))

    def _events(self, evidence: Evidence, r: Reading) -> Iterable[Finding]:
        """Follow the spindle through the program's events: starts that are owed a dwell and a stop, and stops."""
        m, setup = r.moves, evidence.setup
        assert m is not None
        spindle, travel = setup.job.machine.spindle, setup.heights.travel
        with np.errstate(invalid="ignore"):
            cuts = np.flatnonzero(
                (m.feeds > 0) & (np.fmin(m.curve.nodes[:-1, 2], m.curve.nodes[1:, 2]) < travel - SLACK)
            )
        turning, speed, stopped = False, 0.0, np.inf
        asked = ""
        for i, e in enumerate(m.events):
            if e.kind in STOPS:
                z = float(m.curve.nodes[e.before, 2])
                if z < travel - SLACK:
                    yield self._told(r, e, f"stops for the operator at Z {z:.3f}, below the travel plane")
                if turning or stopped < spindle.run_down_s - 1e-3:
                    yield self._told(r, e, "stops for the operator before the spindle stands")
                asked = str(e.value)
                turning = turning and e.kind != "change"
            elif e.kind == "dwell":
                stopped += float(e.value)
            elif e.kind == "speed":
                changed, speed = float(e.value) != speed, float(e.value)
                if turning and changed:
                    yield from self._started(r, i, speed, asked, cuts, evidence)
            elif e.kind == "spindle":
                z = float(m.curve.nodes[e.before, 2])
                if e.value == "off" and turning and z < travel - SLACK:
                    yield self._told(r, e, f"the spindle stops at Z {z:.3f}, below the travel plane")
                if e.value == "off":
                    stopped = 0.0 if turning else stopped
                    turning = False
                    asked = ""
                elif e.value != "clockwise":
                    yield self._told(r, e, f"the spindle turns {e.value}, cutters cut clockwise")
                    turning = True
                elif not turning:
                    turning = True
                    yield from self._started(r, i, speed, asked, cuts, evidence)

    def _started(
        self, r: Reading, i: int, speed: float, asked: str, cuts: Ints, evidence: Evidence
    ) -> Iterable[Finding]:
        assert r.moves is not None
        events, spindle = r.moves.events, evidence.setup.job.machine.spindle
        e = events[i]
        after = cuts[cuts >= e.before]
        if not len(after):
            return
        waits = [v for v in events[i + 1 :] if v.kind == "dwell" and v.before <= after[0]]
        waited = sum(float(v.value) for v in waits)
        if waited < spindle.wake_s - 1e-3:
            text = f"waits {waited:g} s for the spindle, which needs {spindle.wake_s:g} s"
            yield Finding(self.name, "error", text, None, r.file, int(r.moves.lines[after[0]]))
        # on one line with the start, a speed may be told after it
        later = [float(v.value) for v in events[i:] if v.kind == "speed" and v.line == e.line]
        rpm = later[-1] if later else speed
        if spindle.by_hand and f"{rpm:.0f}" not in asked:
            text = f"the speed is set by hand, and no stop says {rpm:.0f} rpm"
            yield Finding(self.name, "error", text, None, r.file, e.line)

    def _told(self, r: Reading, e: Event, text: str) -> Finding:
        return Finding(self.name, "error", text, None, r.file, e.line)
