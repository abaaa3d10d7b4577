"""Chips as thick as the material's rows say: thinner ones rub and burn, thicker ones break the cutter or tear the sheet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.cutter import Cutter
from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright.setup import Work

__all__ = ["Chip"]

RUBS, SLOW = 0.1, 0.25
"""Below these parts of the slowest feed of the cutter's rates a program only rubs, or may (from memory). Corners, loops of
a trochoid and small circles may be slower than that: the fastest cut of a program is judged.
"""
OVER = 1.01


@define(frozen=True, kw_only=True)
class Chip(Check):
    """The fastest cut of each cutter in a program against the job's rates; chip and cutting speed against the material's."""

    name = "chip"
    remedy = "feed as the rates say, or turn the spindle more slowly (faster, where the chip is too thick)"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """For each cutter of each program."""
        course = evidence.course
        with np.errstate(invalid="ignore"):
            cuts = ~course.rapid & (course.low < evidence.setup.heights.highest - 0.01)
            down = cuts & ~course.across & (course.b[:, 2] < course.a[:, 2])
        for p in range(len(course.readings)):
            for i, cutter in enumerate(course.cutters):
                works = [w for w in evidence.setup.works if w.operation.cutter.number == cutter.number]
                mine = (course.program == p) & (course.cutter == i)
                drill = cutter.form == "drill"
                k = np.flatnonzero(mine & (down if drill else cuts & course.across))
                if not works or not len(k):
                    continue
                yield from self._thin(evidence, k, [w.rates.plunge_feed if drill else w.rates.feed for w in works])
                yield from self._table(evidence, k, cutter, works)

    def _thin(self, evidence: Evidence, k: Ints, rates: Sequence[float]) -> Iterable[Finding]:
        course = evidence.course
        edge = self._edge(evidence, k)
        best = int(k[np.argmax(edge)])
        part = float(edge.max()) / min(rates)
        if part < SLOW:
            text = f"nowhere faster than {edge.max():.0f} mm/min, where the rates say {min(rates):.0f}: the cutter rubs"
            severity = "error" if part < RUBS else "warning"
            yield Finding(self.name, severity, text, course.at(best), *course.where(best))

    @staticmethod
    def _edge(evidence: Evidence, k: Ints) -> Floats:
        """Feed of the cutter's edge: on straight cuts it is the center's. Only where there are none, arcs count, whose edge goes
        further, as far as it does inside of a wall.
        """
        course = evidence.course
        bent = np.abs(course.turns[k]) > 1e-9
        if not bent.all():
            return np.where(bent, 0.0, course.feeds[k])
        with np.errstate(divide="ignore", invalid="ignore"):
            around = np.hypot(*(course.b - course.a)[k, :2].T) / (2 * np.abs(np.sin(course.turns[k] / 2)))
            further = np.where(np.abs(course.turns[k]) > 1e-9, course.radius[k] / around, 0.0)
        return np.asarray(course.feeds[k] * (1 + np.nan_to_num(further, posinf=0.0)))

    def _table(self, evidence: Evidence, k: Ints, cutter: Cutter, works: Sequence[Work]) -> Iterable[Finding]:
        """What the material's rows allow at their boldest; a job may say more, and is told."""
        course, material = evidence.course, evidence.setup.job.sheet.material
        row = material.row(cutter)
        turning = k[course.spindle[k] > 0]
        if row is None or not len(turning):
            return
        fz = course.feeds[turning] / (course.spindle[turning] * cutter.teeth)
        worst = int(turning[np.argmax(fz)])
        if row.feed_per_tooth is not None and fz.max() > max(row.feed_per_tooth) * OVER:
            most = max(row.feed_per_tooth)
            text = f"{fz.max():.3f} mm for each tooth of {cutter.name}, {material.name} allows {most:g} mm at most"
            yield Finding(self.name, "warning", text, course.at(worst), *course.where(worst))
        speed = math.pi * cutter.cuts * course.spindle[turning]
        fast = int(turning[np.argmax(speed)])
        if speed.max() > max(row.cutting_speed) * OVER:
            text = (
                f"the edge of {cutter.name} runs at {speed.max() / 1000:.0f} m/min, {material.name} allows "
                f"{max(row.cutting_speed) / 1000:.0f} m/min at most"
            )
            yield Finding(self.name, "warning", text, course.at(fast), *course.where(fast))
