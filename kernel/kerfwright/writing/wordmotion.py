"""Moves of word-address programs: one array of words for a whole way."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.dialect import Said
from kerfwright.program import Motion
from kerfwright.writing.roundedarc import RoundedArcs
from kerfwright.writing.sayable import ARC_OFF, CHORD, Sayable
from kerfwright.writing.wordtext import Column, fixed, render

__all__ = ["ARC_OFF", "CHORD", "WordMotion"]


@define(frozen=True, kw_only=True)
class WordMotion(Sayable):
    """A way as blocks. A word is written where it differs from the one in force."""

    code_digits: ClassVar[int] = 1
    """Digits of a G or M word: G1 or G01."""

    def g(self, *codes: int) -> str:
        """G words, a space between."""
        return " ".join(f"G{code:0{self.code_digits}d}" for code in codes)

    def m(self, code: int) -> str:
        """An M word."""
        return f"M{code:0{self.code_digits}d}"

    def blocks(self, *blocks: str) -> str:
        """Blocks, each on its line."""
        return "".join(f"{block}\n" for block in blocks)

    def motion(self, step: Motion, said: Said, waits: Floats | None = None) -> str:
        """Moves along a curve, and a dwell (s) after each segment where `waits` (n,) has one.

        From an unknown place, which must be at the travel plane: Z, then X and Y, then what the first move changes.
        """
        head, start = self._begin(self.rounded(step.curve.nodes[:1])[0], said)
        turns, q, arcs, old = self._sayable(step, start)
        feeds, feed = step.feeds[old], self.feeds(step.feeds)[old]
        d = np.diff(q, axis=0)
        kept = d.any(axis=1)
        at = np.flatnonzero(kept)
        code = np.where(arcs.arc, np.where(turns > 0, 3, 2), np.where(feeds > 0, 1, 0))[at]
        feed, cut, end = feed[at], feeds[at] > 0, q[1:][at]
        last = _before(np.maximum.accumulate(np.where(cut, np.arange(len(at)), -1)), -1)
        was = np.where(last >= 0, feed[last], said.words.get("F", -1)) if len(at) else feed
        if waits is not None and self.dwell_word == "F":  # nobody should take the time for a feed
            cuts = np.flatnonzero(cut)
            after = np.searchsorted(cuts, np.cumsum(kept)[waits > 0])
            was[cuts[after[after < len(cuts)]]] = -1
        columns = [
            Column("G", code, code != _before(code, said.words.get("G", -1)), least=self.code_digits),
            *(Column(letter, end[:, i], d[at, i] != 0, self.places) for i, letter in enumerate("XYZ")),
            *(Column(letter, value[at], arcs.arc[at], self.places) for letter, value in self._center(q, arcs)),
            Column("F", feed, cut & (feed != was), self.feed_places),
        ]
        said.here = q[-1] * self.digit
        if len(at):
            said.words["G"] = int(code[-1])
        if cut.any():
            said.words["F"] = int(feed[cut][-1])
            if (
                waits is not None
                and self.dwell_word == "F"
                and waits[np.flatnonzero(kept)[np.flatnonzero(cut)[-1]] :].any()
            ):
                said.words.pop("F")
        if waits is not None and waits.any():
            columns = self._waiting(columns, np.cumsum(kept), waits)
        return head + render(columns).decode("ascii")

    def _center(self, q: Ints, arcs: RoundedArcs) -> list[tuple[str, Ints]]:
        """Words by which an arc says its circle, and their values (n,)."""
        if self.centers == "radius":
            return [("R", arcs.radii)]
        center = arcs.centers + q[:-1, :2] if self.centers == "absolute" else arcs.centers
        if self.quadrants == "single":
            center = np.abs(center)
        return [("I", center[:, 0]), ("J", center[:, 1])]

    def _begin(self, start: Ints, said: Said) -> tuple[str, Ints]:
        """What states the place that motion starts from, and that place as the text has it."""
        here = self._standing(start, said)
        if here is not None:
            return "", here
        x, y, z = (f"{letter}{fixed(int(v), self.places)}" for letter, v in zip("XYZ", start))
        said.words["G"] = 0
        return self.blocks(f"{self.g(0)} {z}", f"{x} {y}"), start

    def _waiting(self, columns: list[Column], rows: Ints, waits: Floats) -> list[Column]:
        """Blocks of dwell put in after as many rows as each segment has behind it."""
        some = np.flatnonzero(waits)
        at, on = rows[some], np.ones(len(some), np.bool_)
        thousandths = np.ceil(waits[some] * 1000 - 1e-6).astype(np.int64)
        out = [
            c._replace(values=np.insert(c.values, at, 4), keep=np.insert(c.keep, at, on if c.letter == "G" else ~on))
            for c in columns
        ]
        blank = np.zeros(len(columns[0].values), np.int64)
        stated = np.insert(blank != 0, at, on)
        decimals = 0 if self.dwell_unit == "ms" else 3
        return [*out, Column(self.dwell_word, np.insert(blank, at, thousandths), stated, decimals)]


def _before(values: Ints, first: int) -> Ints:
    """Each value's forerunner."""
    return np.concatenate([[first], values[:-1]])[: len(values)]
