"""Canned cycles of word-address programs: said only where what the document makes of them equals the step's strokes."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.dialect import Said
from kerfwright.program import Drilling
from kerfwright.writing.operatorsteps import OperatorSteps
from kerfwright.writing.strokes import across, written_out
from kerfwright.writing.wordmotion import WordMotion
from kerfwright.writing.wordtext import fixed

__all__ = ["WordCycles"]


@define(frozen=True, kw_only=True)
class WordCycles(WordMotion, OperatorSteps):
    """Drilling: by cycle where the field `cycles` says so and the dialect has one that does the same, else stroke by stroke.

    G81 of NISTIR 6556 (from memory): by rapid across and to R, by feed to Z, by rapid back to where it came from (G98).
    G82 waits P seconds at Z. G83 goes back down by rapid to just above where it was, which no step's strokes do: never said.
    """

    canned: ClassVar[tuple[int, ...]] = ()
    """Cycles of the language that are said: 81, 82."""

    def drilling(self, step: Drilling, said: Said) -> str:
        """All holes of one step."""
        code = self._same(step)
        across = self._across(np.array([*step.points[0], step.travel]), said)
        return across + (self._strokes(step, said) if code is None else self._cycle(code, step, said))

    def _same(self, step: Drilling) -> int | None:
        """The cycle that does what the step says; None where there is none."""
        if not self.cycles or len(step.strokes) != 1:
            return None
        bottom, up, rapid, dwell = step.strokes[0].tolist()
        code = 82 if dwell else 81
        z, r, back, top = (int(v) for v in self.rounded(np.array([bottom, step.clear, up, step.travel])))
        one_way = rapid > 0 and z < r <= top and z < back <= top
        return code if code in self.canned and one_way and not (dwell and self.dwell_unit == "ms") else None

    def _cycle(self, code: int, step: Drilling, said: Said) -> str:
        """The cycle and what it needs in its first block; then a block for each further hole, and the end of the cycle."""
        points = np.column_stack([step.points, np.full(len(step.points), step.travel)])
        head = self._begin(self.rounded(points[:1])[0], said)[0]
        bottom, _, _, dwell = step.strokes[0].tolist()
        z, r = (fixed(int(v), self.places) for v in self.rounded(np.array([bottom, step.clear])))
        feed = int(self.feeds(np.array([step.feed]))[0])
        said.words["F"] = feed
        said.words.pop("G", None)
        ends = self.rounded(points)
        x, *more = (f"X{fixed(int(x), self.places)} Y{fixed(int(y), self.places)}" for x, y, _ in ends)
        wait = f" P{self.time(dwell)}" if dwell else ""
        first = f"{self.g(98, code)} {x} Z{z} R{r}{wait} F{fixed(feed, self.feed_places)}"
        said.here = ends[-1] * self.digit
        return head + self.blocks(first, *more, self.g(80))

    def _strokes(self, step: Drilling, said: Said) -> str:
        """Written out; a dwell follows the stroke at whose bottom it lies."""
        still, waits = written_out(step)
        return self.motion(still, said, waits)

    def _across(self, there: Floats, said: Said) -> str:
        """By rapid from where the text stands: up, across, down; nothing where it has not stated a place."""
        if not said.known:
            return ""
        return self.motion(across(said.here, there), said)
