"""Word-address programs (ISO 6983, RS274): blocks of letters and numbers. The superset that word-address dialects vary.

Must override: `name`, `document`, `language`, `modes`. May override: any step, `opening`, `closing`, `stop`, `wait`.
"""

from __future__ import annotations

import math
from typing import ClassVar

import numpy as np
from attrs import define, evolve

from kerfwright import fields
from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.dialect import Dialect, Said
from kerfwright.errors import CannotSay
from kerfwright.program import CutterChange, Drilling, Dwell, Motion, Note, Pause, SpindleOff, SpindleOn
from kerfwright.traits import Traits
from kerfwright.writing.arcchords import chords, halved
from kerfwright.writing.remark import remarks
from kerfwright.writing.roundedarc import RoundedArcs, rounded_arcs
from kerfwright.writing.wordtext import Column, fixed, render

__all__ = ["ARC_OFF", "CHORD", "WordAddress"]

CHORD = 0.002
"""How far a chord may lie from the arc it stands for (mm)."""
ARC_OFF = 1.6
"""How far the middle of an arc may lie from where it should, in units of the last digit."""
HALF_TURN = 1.1 * math.pi
"""Longer arcs are said in parts: near a full turn the ends hardly say where the center is."""


@define(frozen=True, kw_only=True)
class WordAddress(Dialect):
    """What word-address dialects have in common; the fields are what data may vary."""

    language: ClassVar[str] = ""
    """The reader that its document asks for."""
    arcs: ClassVar[bool] = True
    """Arcs are said as arcs."""
    compensations: ClassVar[int] = 1
    """How many compensations its language has, each cancelled by a word of its own."""
    radius_rule: ClassVar[float] = 2.0
    """How far the radii to an arc's two ends may differ, in units of the last digit."""

    units: str = fields.choice("unit of lengths", ("mm", "inch"), default="mm")
    decimals: int = fields.whole("decimals of lengths", least=3, most=6, default=3)
    digits: int = fields.whole("most digits before the point", least=2, most=8, default=5)
    feed_decimals: int = fields.whole("decimals of feeds", least=0, most=3, default=0)
    dwell_unit: str = fields.choice("unit of a dwell", ("s", "ms"), default="s")
    block_length: int = fields.whole("most characters in a block", least=128, most=1000, default=256)
    work_offset: int = fields.whole("number of the work offset", least=1, most=6, default=1)
    arc_radius: tuple[float, float] = fields.point("least and most radius of an arc", default=(0.01, 1000.0), above=0)

    @property
    def traits(self) -> Traits:
        """What a reader needs to know."""
        return Traits(
            language=self.language,
            units=self.units,
            decimals=self.decimals,
            arcs=self.arcs,
            dwell_unit=self.dwell_unit,
            block_length=self.block_length,
            work_offset=self.work_offset,
            compensations=self.compensations,
        )

    @property
    def digit(self) -> float:
        """The last digit, in mm."""
        return float(self._unit / 10**self.decimals)

    @property
    def _unit(self) -> float:
        return 25.4 if self.units == "inch" else 1.0

    def modes(self, said: Said) -> list[str]:
        """Blocks that state every mode the program relies on, units first and alone."""
        raise NotImplementedError

    def opening(self, said: Said) -> str:
        """What the text is, then its modes."""
        p = said.program
        return self.comment(f"{p.name}: {p.kind}, sheet {p.sheet}") + self.blocks(*self.modes(said))

    def closing(self, said: Said) -> str:
        """Program end."""
        return self.blocks("M2")

    def blocks(self, *blocks: str) -> str:
        """Blocks, each on its line."""
        return "".join(f"{block}\n" for block in blocks)

    def comment(self, text: str) -> str:
        """A comment, in as many lines as it takes; nothing where no character of it can be said."""
        return self.blocks(*(f"({line})" for line in remarks(text, self.block_length - 2)))

    def stop(self, message: str, said: Said) -> str:
        """Stop for the operator, who may move and set anything: afterwards nothing is known, and every mode is restated."""
        said.forget()
        return (self.comment(message) or self.comment("stop")) + self.blocks("M0", *self.modes(said))

    def wait(self, seconds: float) -> str:
        """Dwell, rounded up to a thousandth of a second; no block for none."""
        if not 0 <= seconds < 10_000:
            raise CannotSay(f"a dwell of {seconds:g} s is no time to wait")
        return self.blocks(f"G4 P{self._dwell(seconds)}") if seconds else ""

    def _dwell(self, seconds: float) -> str:
        count = math.ceil(seconds * 1000 - 1e-6)
        return str(count) if self.dwell_unit == "ms" else fixed(count, 3)

    def note(self, step: Note, said: Said) -> str:
        """A comment."""
        return self.comment(step.text)

    def pause(self, step: Pause, said: Said) -> str:
        """The message, then a stop."""
        return self.stop(step.message, said)

    def dwell(self, step: Dwell, said: Said) -> str:
        """Wait."""
        return self.wait(step.seconds)

    def spindleon(self, step: SpindleOn, said: Said) -> str:
        """Clockwise at a whole number of turns; set by hand, after a stop that says so."""
        if not 1 <= step.speed < 1e6:
            raise CannotSay(f"a spindle speed of {step.speed:g} rpm")
        speed = f"{step.speed:.0f}"
        head = self.stop(f"extraction on, set the spindle to {speed} rpm", said) if step.by_hand else ""
        return head + self.blocks(f"M3 S{speed}") + self.wait(step.wake_s)

    def spindleoff(self, step: SpindleOff, said: Said) -> str:
        """Stop it, and wait until it stands."""
        return self.blocks("M5") + self.wait(step.run_down_s)

    def cutterchange(self, step: CutterChange, said: Said) -> str:
        """One program, one cutter: the text names it, the operator has fitted it. Raises CannotSay for another one."""
        c = step.cutter
        if c.number != said.program.cutter.number:
            raise CannotSay(f"{self.name} says one program a cutter: T{said.program.cutter.number}, then T{c.number}")
        said.forget()
        kind = f"{c.form.replace('_', ' ')} D{c.cuts:g} mm"
        return self.comment(f"cutter {c.number} {c.name}: {kind}") + self.blocks(f"T{c.number}")

    def drilling(self, step: Drilling, said: Said) -> str:
        """Written out stroke by stroke; a dwell follows the stroke at whose bottom it lies."""
        k, n = len(step.strokes), len(step.points)
        still = evolve(step, strokes=step.strokes * [1.0, 1.0, 1.0, 0.0]).expanded()
        waits = np.zeros((n, 2 * k + 3))
        waits[:, 2 : 2 + 2 * k : 2] = step.strokes[:, 3]
        return self._across(still.curve.start, said) + self.motion(still, said, waits.ravel()[1:])

    def _across(self, there: Floats, said: Said) -> str:
        """By rapid from where the text stands: up, across, down; nothing where it has not stated a place."""
        if not said.known:
            return ""
        high = max(said.here[2], there[2])
        way = Curve.line([said.here, [*said.here[:2], high], [*there[:2], high], there])
        return self.motion(Motion(way, np.zeros(3, np.int64), np.zeros(3)), said)

    def motion(self, step: Motion, said: Said, waits: Floats | None = None) -> str:
        """Moves along a curve, and a dwell (s) after each segment where `waits` (n,) has one.

        From an unknown place, which must be at the travel plane: Z, then X and Y, then what the first move changes.
        """
        head, start = self._begin(self._rounded(step.curve.nodes[:1])[0], said)
        curve, q, arcs, old = self._sayable(step, start)
        feeds, feed = step.feeds[old], self._feeds(step.feeds)[old]
        d = np.diff(q, axis=0)
        kept = d.any(axis=1)
        at = np.flatnonzero(kept)
        code = np.where(arcs.arc, np.where(curve.turns > 0, 3, 2), np.where(feeds > 0, 1, 0))[at]
        feed, cut, end, arc, ij = feed[at], feeds[at] > 0, q[1:][at], arcs.arc[at], arcs.centers[at]
        last = _before(np.maximum.accumulate(np.where(cut, np.arange(len(at)), -1)), -1)
        was = np.where(last >= 0, feed[last], said.words.get("F", -1)) if len(at) else feed
        columns = [
            Column("G", code, code != _before(code, said.words.get("G", -1))),
            *(Column(letter, end[:, i], d[at, i] != 0, self.decimals) for i, letter in enumerate("XYZ")),
            *(Column(letter, ij[:, i], arc, self.decimals) for i, letter in enumerate("IJ")),
            Column("F", feed, cut & (feed != was), self.feed_decimals),
        ]
        said.here = q[-1] * self.digit
        if len(at):
            said.words["G"] = int(code[-1])
        if cut.any():
            said.words["F"] = int(feed[cut][-1])
        if waits is not None and waits.any():
            columns = self._waiting(columns, np.cumsum(kept), waits)
        return head + render(columns).decode("ascii")

    def _begin(self, start: Ints, said: Said) -> tuple[str, Ints]:
        """What states the place that motion starts from, and that place as the text has it."""
        if said.known:
            here = np.rint(said.here / self.digit).astype(np.int64)
            if np.abs(here - start).max() > 1:
                raise CannotSay(f"a motion begins at {start * self.digit}, but the cutter stands at {said.here}")
            return "", here
        if start[2] < math.floor(said.program.travel / self.digit):
            raise CannotSay("a motion from a place the text has not stated begins below the travel plane")
        x, y, z = (f"{letter}{fixed(int(v), self.decimals)}" for letter, v in zip("XYZ", start))
        said.words["G"] = 0
        return self.blocks(f"G0 {z}", f"{x} {y}"), start

    def _sayable(self, step: Motion, start: Ints) -> tuple[Curve, Ints, RoundedArcs, Ints]:
        """The curve of which each segment is one block, its rounded nodes, its arcs, and the old segment of each."""
        curve, old = step.curve, np.arange(len(step.curve))
        bent = np.abs(curve.turns) > 1e-9
        if (bent & (step.feeds == 0)).any():
            raise CannotSay("a rapid along an arc")
        if (np.abs(curve.turns) > 2 * math.pi - 1e-6).any():
            raise CannotSay("a full circle in one segment: a curve has two arcs of it")
        if self.arcs and (np.abs(curve.turns) > HALF_TURN).any():
            curve, old = halved(curve, HALF_TURN)
        q = self._rounded(curve.nodes)
        q[0] = start
        arcs = self._arcs(curve, q)
        if arcs.chords.any():
            waste = np.zeros(len(bent), np.int64) if step.waste is None else step.waste
            curve, piece = chords(curve, arcs.chords, waste[old], CHORD, self.digit * math.sqrt(0.5))
            q = self._rounded(curve.nodes)
            q[0] = start
            arcs, old = RoundedArcs(arcs.arc[piece], arcs.chords[piece], arcs.centers[piece]), old[piece]
        return curve, q, arcs, old

    def _arcs(self, curve: Curve, q: Ints) -> RoundedArcs:
        least, most = (r / self.digit for r in self.arc_radius)
        most = most if self.arcs else 0.0
        apart = 0.95 * self.radius_rule
        return rounded_arcs(
            q[:, :2], curve.chords / self.digit, curve.turns, least=least, most=most, apart=apart, off=ARC_OFF
        )

    def _rounded(self, nodes: Floats) -> Ints:
        """Places in units of the last digit. Raises CannotSay where one has more digits than the dialect writes."""
        values: Floats = np.rint(nodes * (10**self.decimals / self._unit))
        if np.abs(values).max(initial=0) >= 10 ** (self.digits + self.decimals):
            raise CannotSay(
                f"a place {np.abs(nodes).max():g} mm from zero has over {self.digits} digits before the point"
            )
        return values.astype(np.int64)

    def _feeds(self, feeds: Floats) -> Ints:
        """Feeds in units of their last digit, rounded down: never faster than planned."""
        values: Floats = np.floor(feeds * (10**self.feed_decimals / self._unit) + 1e-6)
        if (values >= 1e9).any() or ((values == 0) & (feeds > 0)).any():
            raise CannotSay(
                f"a feed of {feeds[feeds > 0].min():g} to {feeds.max():g} mm/min with {self.feed_decimals} decimals"
            )
        return values.astype(np.int64)

    def _waiting(self, columns: list[Column], rows: Ints, waits: Floats) -> list[Column]:
        """Blocks of dwell put in after as many rows as each segment has behind it."""
        some = np.flatnonzero(waits)
        at, on = rows[some], np.ones(len(some), np.bool_)
        seconds = np.ceil(waits[some] * 1000 - 1e-6).astype(np.int64)
        out = [
            Column(
                c.letter, np.insert(c.values, at, 4), np.insert(c.keep, at, on if c.letter == "G" else ~on), c.decimals
            )
            for c in columns
        ]
        blank = np.zeros(len(columns[0].values), np.int64)
        stated = np.insert(blank != 0, at, on)
        return [*out, Column("P", np.insert(blank, at, seconds), stated, 0 if self.dwell_unit == "ms" else 3)]


def _before(values: Ints, first: int) -> Ints:
    """Each value's forerunner."""
    return np.concatenate([[first], values[:-1]])[: len(values)]
