"""After a stop nothing is taken for granted: the height is said first, then X and Y, before anything goes down."""

from __future__ import annotations

import re
from collections.abc import Iterable

import numpy as np
from attrs import define

from kerfwright.evidence import Evidence, Reading
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.start import SLACK

__all__ = ["Restated"]

STOPS = ("pause", "optional_pause", "change")
WORDS = re.compile(r"^(?:[A-Z]\s*[-+]?[\d.]+\s*)+$")
"""A line of letters and numbers; in any other language a move says its whole place."""


@define(frozen=True, kw_only=True)
class Restated(Check):
    """An operator may have moved the machine by hand, or fitted another cutter."""

    name = "restated"
    remedy = "after the stop say Z at the travel plane alone, then X and Y, then go on"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each stop; walk-rounds too."""
        for r in evidence.readings:
            assert r.moves is not None
            n = len(r.moves.curve)
            for e in r.moves.events:
                if e.kind in STOPS and e.before < n:
                    text = self._after(evidence, r, e.before)
                    if text:
                        yield Finding(self.name, "error", text, None, r.file, int(r.moves.lines[e.before]))

    @staticmethod
    def _after(evidence: Evidence, r: Reading, first: int) -> str:
        """What is wrong with the moves from `first` on; empty where nothing is."""
        m, travel = r.moves, evidence.setup.heights.travel
        assert m is not None
        z = m.curve.nodes[:, 2]
        if not z[first + 1] >= travel - SLACK or m.feeds[first] > 0:
            return f"does not clear to the travel plane at {travel:.3f} after a stop"
        said, lines = r.text.splitlines(), m.lines
        letters: set[str] = set()
        for k in range(first, len(m.curve)):
            line = said[lines[k] - 1] if said else ""
            new = set(re.findall(r"[XYZ]", line)) if WORDS.match(line.strip()) else _whole(m.curve.nodes, k, first)
            if "Z" not in letters and (new & {"X", "Y"}) and WORDS.match(line.strip()):
                return "moves X and Y after a stop before it has said its height again"
            low = not z[k + 1] >= travel - SLACK
            if low or m.feeds[k] > 0:
                lost = sorted({"X", "Y", "Z"} - letters)
                return f"goes on after a stop before it has said {' and '.join(lost)} again" if lost else ""
            letters |= new
        return ""


def _whole(nodes: np.ndarray, k: int, first: int) -> set[str]:
    """What a move says where the text does not tell: its height alone first, then the whole place."""
    return {"Z"} if k == first and np.array_equal(nodes[k][:2], nodes[k + 1][:2], equal_nan=True) else {"X", "Y", "Z"}
