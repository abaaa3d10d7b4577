"""Moves of word-address programs: rounding, arcs as the dialect says them, one array of words for a whole way."""

from __future__ import annotations

import math
from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.dialect import Said
from kerfwright.errors import CannotSay
from kerfwright.program import Motion
from kerfwright.writing.arcchords import chords, halved
from kerfwright.writing.quadrants import by_quadrant
from kerfwright.writing.roundedarc import RoundedArcs, rounded_arcs
from kerfwright.writing.wordfields import WordFields
from kerfwright.writing.wordtext import Column, fixed, render

__all__ = ["ARC_OFF", "CHORD", "WordMotion"]

CHORD = 0.002
"""How far a chord may lie from the arc it stands for (mm)."""
ARC_OFF = 1.6
"""How far the middle of an arc may lie from where it should, in units of the last digit."""
HALF_TURN = 1.1 * math.pi
"""Longer arcs are said in parts: near a full turn the ends hardly say where the center is."""
QUARTER = math.pi / 2
"""Longer arcs are said in parts where they say a radius: of this one half a digit of radius moves the middle by a fifth of a
digit, of half a turn by any length."""


@define(frozen=True, kw_only=True)
class WordMotion(WordFields):
    """A way as blocks. A word is written where it differs from the one in force."""

    code_digits: ClassVar[int] = 1
    """Digits of a G or M word: G1 or G01."""
    radius_rule: ClassVar[float] = 2.0
    """How far the radii to an arc's two ends may differ, in units of the last digit."""

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
        if said.known:
            here = np.rint(said.here / self.digit).astype(np.int64)
            if np.abs(here - start).max() > 1:
                raise CannotSay(f"a motion begins at {start * self.digit}, but the cutter stands at {said.here}")
            return "", here
        if start[2] < math.floor(said.program.travel / self.digit):
            raise CannotSay("a motion from a place the text has not stated begins below the travel plane")
        x, y, z = (f"{letter}{fixed(int(v), self.places)}" for letter, v in zip("XYZ", start))
        said.words["G"] = 0
        return self.blocks(f"{self.g(0)} {z}", f"{x} {y}"), start

    def expansion(self, step: Motion) -> Motion:
        """What is said of a motion, before rounding: arcs in parts, chords where no arc is said. Quadrants are cut later."""
        curve, _, _, old = self._expanded(step, self.rounded(step.curve.nodes[:1])[0])
        waste = None if step.waste is None else step.waste[old]
        return Motion(curve, step.roles[old], step.feeds[old], waste)

    def _sayable(self, step: Motion, start: Ints) -> tuple[Floats, Ints, RoundedArcs, Ints]:
        """Segments of which each is one block: their turns, rounded nodes, arcs, and the old segment of each."""
        curve, q, arcs, old = self._expanded(step, start)
        turns: Floats = curve.turns
        if self.quadrants == "single" and arcs.arc.any():
            ends = np.concatenate([q[:-1, :2] + arcs.centers, q[-1:, :2]])
            q, piece = by_quadrant(q, turns, arcs.centers, arcs.arc)
            turns, arcs, old = turns[piece], arcs.of(piece), old[piece]
            arcs.centers[:] = np.where(arcs.arc[:, None], ends[piece] - q[:-1, :2], 0)
            arcs.arc[:] &= _bows(q, arcs) >= 0.5
        return turns, q, arcs, old

    def _expanded(self, step: Motion, start: Ints) -> tuple[Curve, Ints, RoundedArcs, Ints]:
        """The curve that is said, its rounded nodes, its arcs, and the old segment of each."""
        curve, old = step.curve, np.arange(len(step.curve))
        bent = np.abs(curve.turns) > 1e-9
        if (bent & (step.feeds == 0)).any():
            raise CannotSay("a rapid along an arc")
        if (np.abs(curve.turns) > 2 * math.pi - 1e-6).any():
            raise CannotSay("a full circle in one segment: a curve has two arcs of it")
        most = QUARTER if self.centers == "radius" else HALF_TURN
        if self.arcs and (np.abs(curve.turns) > most).any():
            curve, old = halved(curve, most)
        q = self._from(start, curve.nodes)
        arcs = self._arcs(q, curve.chords, curve.turns)
        if arcs.chords.any():
            waste = np.zeros(len(bent), np.int64) if step.waste is None else step.waste
            curve, piece = chords(curve, arcs.chords, waste[old], CHORD, self.digit * math.sqrt(0.5))
            q, arcs, old = self._from(start, curve.nodes), arcs.of(piece), old[piece]
        return curve, q, arcs, old

    def _from(self, start: Ints, nodes: Floats) -> Ints:
        q = self.rounded(nodes)
        q[0] = start
        return q

    def _arcs(self, q: Ints, across: Floats, turns: Floats) -> RoundedArcs:
        least, most = (r / self.digit for r in self.arc_radius)
        arcs = rounded_arcs(
            q[:, :2],
            across / self.digit,
            turns,
            least=least,
            most=most if self.arcs else 0.0,
            apart=0.95 * self.radius_rule,
            off=ARC_OFF,
            radius=self.centers == "radius",
        )
        if not self.helices:
            slopes = arcs.arc & (np.diff(q[:, 2]) != 0)
            arcs.chords[slopes], arcs.arc[slopes] = True, False
        return arcs

    def rounded(self, nodes: Floats) -> Ints:
        """Places in units of the last digit. Raises CannotSay where one has more digits than the dialect writes."""
        values: Floats = np.rint(nodes * (10**self.places / self.unit))
        if np.abs(values).max(initial=0) >= 10 ** (self.digits + self.places):
            raise CannotSay(
                f"a place {np.abs(nodes).max():g} mm from zero has over {self.digits} digits before the point"
            )
        return values.astype(np.int64)

    def feeds(self, feeds: Floats) -> Ints:
        """Feeds in units of their last digit, rounded down: never faster than planned."""
        values: Floats = np.floor(feeds * (10**self.feed_places / self.unit) + 1e-6)
        if (values >= 1e9).any() or ((values == 0) & (feeds > 0)).any():
            raise CannotSay(
                f"a feed of {feeds[feeds > 0].min():g} to {feeds.max():g} mm/min with {self.feed_places} decimals"
            )
        return values.astype(np.int64)

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


def _bows(q: Ints, arcs: RoundedArcs) -> Floats:
    """How far the middle of each arc (n,) lies from its chord, in units of the last digit."""
    half = np.hypot(*np.diff(q[:, :2], axis=0).T) / 2
    radius = np.maximum(arcs.radii, 1)
    bows: Floats = radius - np.sqrt(np.maximum(radius**2 - half**2, 0.0))
    return bows
