"""All programs of the sheet are there, once each, and in the order in which the job asks for the cutters."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["Programs"]


@define(frozen=True, kw_only=True)
class Programs(Check):
    """What is missing is told by its cutter, for a text names no operation. Another order is a warning only: where programs
    meet, the checks of what is cut and freed tell what it does, for the stock is carried over in the order given.
    """

    name = "programs"
    remedy = "give every program of the sheet once, in running order, as the run sheet lists them"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One for each cutter that is missing, for each text given twice, and for the first that runs out of order."""
        named = {w.operation.cutter.number: w.operation.cutter.name for w in evidence.setup.works}
        wanted = _runs(
            w.operation.cutter.number for w in evidence.setup.works if w.loops or w.lines or not w.operation.select
        )
        found = _cutters(evidence)
        given = _runs(number for number, _ in found)
        lost = [number for number in dict.fromkeys(wanted) if number not in given]
        for number in lost:
            paths = [w.path for w in evidence.setup.works if w.operation.cutter.number == number]
            text = f"no program cuts with {named[number]} (T{number}): {', '.join(dict.fromkeys(paths))} not proved"
            yield Finding(self.name, "error", text)
        first: dict[str, str] = {}
        for r in evidence.programs:
            if r.text and r.text in first:
                yield Finding(
                    self.name, "error", f"is the same text as {first[r.text]}, so it runs twice", None, r.file
                )
            first.setdefault(r.text, r.file)
        if lost or given == wanted or not set(given) <= set(wanted):
            return  # a cutter of no operation is told by its own check
        for k, number in enumerate(given):
            if wanted[k : k + 1] != [number]:
                due = " then ".join(named[n] for n in wanted)
                text = f"runs {named[number]} out of order: the job's operations ask for {due}"
                yield Finding(self.name, "warning", text, None, found[_place(found, k)][1])
                return


def _runs(numbers: Iterable[int]) -> list[int]:
    return [number for number, _ in groupby(numbers)]


def _cutters(evidence: Evidence) -> list[tuple[int, str]]:
    """Number of the cutter and file of each run of cuts with one cutter, in running order; -1 where it is unknown."""
    course, highest = evidence.course, evidence.setup.heights.highest
    with np.errstate(invalid="ignore"):
        cuts = np.flatnonzero(course.low < highest - SLACK)
    fresh = np.ones(len(cuts), np.bool_)
    fresh[1:] = (np.diff(course.cutter[cuts]) != 0) | (np.diff(course.program[cuts]) != 0)
    numbers = np.array([*(c.number for c in course.cutters), -1])[course.cutter[cuts[fresh]]]
    files = [course.readings[p].file for p in course.program[cuts[fresh]].tolist()]
    return list(zip(numbers.tolist(), files))


def _place(found: list[tuple[int, str]], run: int) -> int:
    """Index of the first of what makes up a run of one cutter."""
    at = -1
    for k, (number, _) in enumerate(found):
        at += k == 0 or number != found[k - 1][0]
        if at == run:
            return k
    return 0
