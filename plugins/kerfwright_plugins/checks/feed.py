"""Feeds keep to the job's rates and the machine's limits; the way straight down keeps to the plunge feed."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.arrays import Bools, Floats
from kerfwright.evidence import Cutting, Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK
from kerfwright_plugins.checks.whose import owners

__all__ = ["Feed"]

OVER = 1.002
"""Rounding of a feed in the text: one part in 500."""
STEEP = 1.02
"""Down by more than this times the way across is a plunge: 45 degrees, and a hair for rounding."""


@define(frozen=True, kw_only=True)
class Feed(Check):
    """The limit of a cut is the fastest feed of the operations with its cutter that it may belong to by its place; of a way
    straight down, and of what is above the sheet, the fastest of all with that cutter. Slower is always allowed.
    """

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
                evidence,
                cutting & ~steep & ~(course.feeds > feed[course.cutter] * OVER),
                self._by_place(evidence),
                "feed {0:.0f}, the rates of what is cut here say {1:.0f}",
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

    @staticmethod
    def _by_place(evidence: Evidence) -> Floats:
        """The fastest feed of the operations that each move may belong to, (n,); inf where nobody says."""
        course, setup = evidence.course, evidence.setup
        out = np.full(len(course), np.inf)
        rates = {w.index: w.rates.feed for w in setup.works}
        pairs = {(w.operation.cutter.number, w.rates.feed) for w in setup.works}
        if len(pairs) == len({number for number, _ in pairs}):
            return out  # one feed a cutter
        lines = Cutting.at(course, setup.heights.highest - 0.006)
        limit = np.zeros(len(lines))
        for work, mine in owners(evidence, lines).items():
            limit = np.where(mine, np.maximum(limit, rates[work]), limit)
        count = lines.last - lines.first + 1
        of = np.repeat(np.arange(len(lines)), count)
        move = np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count) + lines.first[of]
        out[move] = 0.0
        np.maximum.at(out, move, limit[of])  # a move with several lines: the faster of their limits
        out[out == 0.0] = np.inf
        return out

    def _worst(self, evidence: Evidence, which: Bools, limit: Floats, text: str) -> Iterable[Finding]:
        course = evidence.course
        over = np.where(which & np.isfinite(limit), course.feeds / limit, 0.0)
        for p in range(len(course.readings)):
            mine = np.where(course.program == p, over, 0.0)
            if len(mine) and mine.max() > OVER:
                k = int(np.argmax(mine))
                told = text.format(course.feeds[k], limit[k]) + " mm/min"
                yield Finding(self.name, "error", told, course.at(k), *course.where(k))
