"""What can be said of a way, before any words: places in digits, arcs as the dialect says them, chords where it says none."""

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

__all__ = ["ARC_OFF", "CHORD", "Sayable"]

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
class Sayable(WordFields):
    """Rounding of places, feeds and arcs, the same for every language."""

    radius_rule: ClassVar[float] = 2.0
    """How far the radii to an arc's two ends may differ, in units of the last digit."""

    def _standing(self, start: Ints, said: Said) -> Ints | None:
        """The place where the text has the cutter, in digits; None where it has not stated one. Raises CannotSay where a motion
        begins elsewhere, or from an unknown place below the travel plane.
        """
        if said.known:
            here: Ints = np.rint(said.here / self.digit).astype(np.int64)
            if np.abs(here - start).max() > 1:
                raise CannotSay(f"a motion begins at {start * self.digit}, but the cutter stands at {said.here}")
            return here
        if start[2] < math.floor(said.program.travel / self.digit):
            raise CannotSay("a motion from a place the text has not stated begins below the travel plane")
        return None

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


def _bows(q: Ints, arcs: RoundedArcs) -> Floats:
    """How far the middle of each arc (n,) lies from its chord, in units of the last digit."""
    half = np.hypot(*np.diff(q[:, :2], axis=0).T) / 2
    radius = np.maximum(arcs.radii, 1)
    bows: Floats = radius - np.sqrt(np.maximum(radius**2 - half**2, 0.0))
    return bows
