"""A program's text as somebody at the machine would edit it: lines and words, found by what they do.

Where a line stands is told by the moves read from the clean text, so that a row of the catalogue holds for every language
that is made of letters and numbers, with or without sequence numbers.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cached_property
from typing import Any

import numpy as np

from kerfwright.moves import Moves
from kerfwright.setup import Setup

__all__ = ["Nothing", "Text"]

WORDS = re.compile(r"([A-Z])\s*([-+]?(?:\d+\.?\d*|\.\d+))")
HAIR = 1e-6


class Nothing(Exception):
    """There is nothing in this text that the edit could spoil."""


class Text:
    """Lines count from 0 here. Every edit returns the whole text anew; none changes this one."""

    def __init__(self, text: str, moves: Moves, setup: Setup) -> None:
        self.text, self.moves, self.setup = text, moves, setup
        self.lines = text.splitlines()

    @property
    def words(self) -> bool:
        """It is made of letters with numbers."""
        return any(re.match(r"(N\d+\s*)?G\d", line) for line in self.lines)

    # --- what the lines do

    @cached_property
    def z(self) -> Any:
        return self.moves.curve.nodes[:, 2]

    @cached_property
    def across(self) -> Any:
        d = np.diff(self.moves.curve.nodes[:, :2], axis=0)
        return np.nan_to_num(np.hypot(d[:, 0], d[:, 1]))

    @cached_property
    def top(self) -> float:
        return self.setup.heights.highest

    @cached_property
    def feeding(self) -> Any:
        """Moves at feed that enter the sheet."""
        with np.errstate(invalid="ignore"):
            return (self.moves.feeds > 0) & (np.fmin(self.z[:-1], self.z[1:]) < self.top - 0.01)

    @cached_property
    def flat(self) -> Any:
        with np.errstate(invalid="ignore"):
            return self.feeding & (np.abs(self.z[1:] - self.z[:-1]) < HAIR) & (self.across > 0.01)

    @cached_property
    def deepest(self) -> float:
        return float(np.nanmin(self.z))

    @cached_property
    def deep(self) -> Any:
        """Flat cuts at the floor."""
        return self.flat & (self.z[1:] < self.deepest + 0.002)

    @cached_property
    def straight(self) -> Any:
        return np.abs(self.moves.curve.turns) < HAIR

    @cached_property
    def plunges(self) -> Any:
        return self.feeding & (self.across < HAIR) & (self.z[1:] < self.z[:-1] - HAIR)

    @cached_property
    def lifts(self) -> Any:
        """Rapids straight up."""
        with np.errstate(invalid="ignore"):
            return (self.moves.feeds == 0) & (self.across < HAIR) & (self.z[1:] > self.z[:-1] + HAIR)

    @cached_property
    def drops(self) -> Any:
        """Rapids straight down."""
        with np.errstate(invalid="ignore"):
            return (self.moves.feeds == 0) & (self.across < HAIR) & (self.z[1:] < self.z[:-1] - HAIR)

    def line(self, move: int) -> int:
        return int(self.moves.lines[move]) - 1

    def first(self, which: Any, after: int = 0) -> int:
        """Index of the first move of some."""
        k = np.flatnonzero(which)
        k = k[k >= after]
        if not len(k):
            raise Nothing("no such move")
        return int(k[0])

    def last(self, which: Any) -> int:
        k = np.flatnonzero(which)
        if not len(k):
            raise Nothing("no such move")
        return int(k[-1])

    def longest(self, which: Any) -> int:
        k = np.flatnonzero(which)
        if not len(k):
            raise Nothing("no such move")
        return int(k[np.argmax(np.round(self.across[k], 3))])

    def event(self, kind: str, value: Any = None, nth: int = 0) -> int:
        """Line of the nth event of a kind."""
        found = [e.line - 1 for e in self.moves.events if e.kind == kind and value in (None, e.value)]
        if len(found) <= nth:
            raise Nothing(f"no {kind}")
        return found[nth]

    def stops(self) -> list[int]:
        """Lines of the stops after which something moves."""
        n = len(self.moves.curve)
        return [e.line - 1 for e in self.moves.events if e.kind == "pause" and e.before < n]

    @cached_property
    def lifted(self) -> list[tuple[int, int, int]]:
        """Bridges as the text rises over them at the floor: moves up, across, down."""
        z, out = self.z, []
        for k in np.flatnonzero(self.flat).tolist():
            if 0 < k < len(self.moves.curve) - 1 and self.feeding[k - 1] and self.feeding[k + 1]:
                up, down = z[k] - z[k - 1], z[k + 1] - z[k + 2]
                if up > 0.05 and down > 0.05 and z[k - 1] < self.deepest + 0.002 and self.across[k - 1] < HAIR:
                    out.append((k - 1, k, k + 1))
        return out

    @cached_property
    def passes(self) -> list[tuple[float, int, int]]:
        """Heights of flat cuts of the last way down that has several, and the lines from the way down to each to its end."""
        z, rapid = self.z, self.moves.feeds == 0
        found: list[tuple[float, int, int]] = []
        for a, b in self._runs(~rapid):
            heights = np.round(z[a + 1 : b + 1], 3)
            long = {
                v: float(self.across[a:b][self.flat[a:b] & (heights == v)].sum()) for v in np.unique(heights).tolist()
            }
            laps = {v for v, way in long.items() if way > 0.3 * max(long.values())}  # not the tops of bridges
            steps = [v for v in dict.fromkeys(heights[self.flat[a:b]].tolist()) if v in laps]
            fall = [v for k, v in enumerate(steps) if v < min(steps[:k], default=np.inf)]
            if len(fall) > 1:
                cut = [a + int(np.flatnonzero(heights == v)[0]) for v in fall]
                found = [(v, self.line(k), self.line(e) - 1) for v, k, e in zip(fall, cut, [*cut[1:], b])]
        return found

    @staticmethod
    def _runs(on: Any) -> list[tuple[int, int]]:
        edge = np.flatnonzero(np.diff(np.concatenate([[0], on.astype(int), [0]])))
        return list(zip(edge[::2].tolist(), edge[1::2].tolist()))

    # --- lines

    def joined(self, lines: Sequence[str]) -> str:
        return "\n".join(lines) + "\n"

    def lose(self, *lines: int) -> str:
        return self.joined([v for k, v in enumerate(self.lines) if k not in lines])

    def put(self, line: int, *new: str) -> str:
        """Other lines in place of one."""
        return self.joined([*self.lines[:line], *new, *self.lines[line + 1 :]])

    def after(self, line: int, *new: str) -> str:
        return self.put(line, self.lines[line], *new)

    def before(self, line: int, *new: str) -> str:
        return self.put(line, *new, self.lines[line])

    def swapped(self, a: int, b: int) -> str:
        lines = list(self.lines)
        lines[a], lines[b] = lines[b], lines[a]
        return self.joined(lines)

    def moved(self, line: int, behind: int) -> str:
        lines = [v for k, v in enumerate(self.lines) if k != line]
        at = behind if behind > line else behind + 1
        return self.joined([*lines[:at], self.lines[line], *lines[at:]])

    # --- words

    def number(self, line: int, letter: str) -> float:
        for found, digits in WORDS.findall(self.lines[line]):
            if found == letter:
                return float(digits)
        raise Nothing(f"no {letter} in line {line + 1}")

    def word(self, line: int, letter: str, value: float) -> str:
        """A line with another number in a word; the word is added where the line has none."""
        digits = next((d for found, d in WORDS.findall(self.lines[line]) if found == letter), None)
        if digits is None:
            decimals = 3 if letter in "XYZIJK" else 0
            return f"{self.lines[line]} {letter}{value:.{decimals}f}"
        decimals = len(digits.partition(".")[2])
        return re.sub(rf"(?<![A-Z]){letter}\s*{re.escape(digits)}", f"{letter}{value:.{decimals}f}", self.lines[line])

    def shifted(self, line: int, letter: str, by: float) -> str:
        return self.put(line, self.word(line, letter, self.number(line, letter) + by))

    def without(self, line: int, letter: str) -> str:
        """A line that has lost a word."""
        self.number(line, letter)
        return self.put(line, re.sub(rf"\s*{letter}\s*[-+]?[\d.]+", "", self.lines[line]).strip())

    def every(self, letter: str, change: Any) -> str:
        """Each number of a letter changed, comments left alone."""

        def one(m: re.Match[str]) -> str:
            decimals = len(m[2].partition(".")[2])
            return f"{letter}{change(float(m[2])):.{decimals}f}"

        pattern = re.compile(rf"({letter})([-+]?\d+\.?\d*)")
        return self.joined([v if v.startswith("(") else pattern.sub(one, v) for v in self.lines])

    def code(self, old: str, new: str, nth: int = 0, *, all_of_them: bool = False) -> str:
        """A code such as G90 in place of another, once or everywhere."""
        pattern = re.compile(rf"{old}(?![\d.])")
        lines, found = list(self.lines), 0
        for k, v in enumerate(lines):
            if not v.startswith("(") and pattern.search(v):
                if all_of_them or found == nth:
                    lines[k] = pattern.sub(new, v).strip()
                found += 1
        if found <= nth:
            raise Nothing(f"no {old}")
        return self.joined(lines)
