"""Feeds keep to the job's rates and the machine's limits; the way straight down keeps to the plunge feed."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.arrays import Bools, Floats
from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["Feed"]

OVER = 1.002
"""Rounding of a feed in the text: one part in 500."""
STEEP = 1.02
"""Down by more than this times the way across is a plunge: 45 degrees, and a hair for rounding."""


@define(frozen=True, kw_only=True)
class Feed(Check):
    """Of the operations that use the cutter, the fastest feed is the limit; below the sheet's top it binds every move."""

    name = "feed"
    remedy = "keep to the feeds of the run sheet, or change the job and make it anew"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The worst of each kind in each program."""
        course, setup = evidence.course, evidence.setup
        machine = setup.job.machine
        feed, plunge = np.full(len(course.cutters) + 1, np.inf), np.full(len(course.cutters) + 1, np.inf)
        for i, c in enumerate(course.cutters):
            rates = [w.rates for w in setup.works if w.operation.cutter.number == c.number]
            feed[i] = max((v.feed for v in rates), default=np.inf)
            plunge[i] = max((v.plunge_feed for v in rates), default=np.inf)
        dz = course.b[:, 2] - course.a[:, 2]
        length = course.lengths
        with np.errstate(invalid="ignore", divide="ignore"):
            across = np.sqrt(np.maximum(length**2 - dz**2, 0))
            cutting = ~course.rapid & (course.low < setup.heights.approach - SLACK)
            steep = cutting & (-dz > STEEP * across + 2 * SLACK)
            upright = np.where(length > 0, np.abs(dz) / length, 0.0)
            yield from self._worst(
                evidence, cutting & ~steep, feed[course.cutter], "feed {0:.0f}, the rates say {1:.0f}"
            )
            yield from self._worst(
                evidence, steep, plunge[course.cutter], "straight down at {0:.0f}, the rates say {1:.0f}"
            )
            fed = ~course.rapid
            limit = np.full(len(course), machine.feed.xy)
            yield from self._worst(
                evidence, fed & (upright < 0.999), limit, "feed {0:.0f}, the machine reaches {1:.0f}"
            )
            limit = machine.feed.z / np.maximum(upright, 1e-9)
            yield from self._worst(
                evidence, fed & (np.abs(dz) > 2 * SLACK), limit, "feed {0:.0f}, in Z the machine allows {1:.0f} here"
            )

    def _worst(self, evidence: Evidence, which: Bools, limit: Floats, text: str) -> Iterable[Finding]:
        course = evidence.course
        over = np.where(which & np.isfinite(limit), course.feeds / limit, 0.0)
        for p in range(len(course.readings)):
            mine = np.where(course.program == p, over, 0.0)
            if len(mine) and mine.max() > OVER:
                k = int(np.argmax(mine))
                told = text.format(course.feeds[k], limit[k]) + " mm/min"
                yield Finding(self.name, "error", told, course.at(k), *course.where(k))
