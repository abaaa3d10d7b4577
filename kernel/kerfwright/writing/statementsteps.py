"""Steps of a program as statements of cutter location data, all but its moves."""

from __future__ import annotations

import math

from attrs import define

from kerfwright.arrays import Ints
from kerfwright.dialect import Said
from kerfwright.errors import CannotSay
from kerfwright.program import CutterChange, Dwell, Note, Pause, SpindleOff, SpindleOn
from kerfwright.writing.cuttertext import described
from kerfwright.writing.remark import remarks
from kerfwright.writing.wordfields import WordFields
from kerfwright.writing.wordtext import fixed

__all__ = ["StatementSteps"]


@define(frozen=True, kw_only=True)
class StatementSteps(WordFields):
    """A statement a line."""

    def opening(self, said: Said) -> str:
        """What the text is, then its units."""
        p = said.program
        return self._said("PARTNO", f"{p.name}: {p.kind}, sheet {p.sheet}") + self._units()

    def closing(self, said: Said) -> str:
        """End of the work, end of the text."""
        return "END\nFINI\n"

    def finished(self, text: str) -> str:
        """Line ends."""
        return text.replace("\n", "\r\n") if self.ending == "crlf" else text

    def note(self, step: Note, said: Said) -> str:
        """Text for the operator."""
        return self._said("PPRINT", step.text)

    def pause(self, step: Pause, said: Said) -> str:
        """The message, then a stop."""
        return self._stop(step.message, said)

    def dwell(self, step: Dwell, said: Said) -> str:
        """Wait."""
        return self.wait(step.seconds)

    def wait(self, seconds: float) -> str:
        """A delay, rounded up to a thousandth of a second; no statement for none."""
        if not 0 <= seconds < 10_000:
            raise CannotSay(f"a dwell of {seconds:g} s is no time to wait")
        return f"DELAY/{fixed(math.ceil(seconds * 1000 - 1e-6), 3)}\n" if seconds else ""

    def spindleon(self, step: SpindleOn, said: Said) -> str:
        """Clockwise at a whole number of turns; set by hand, after a stop that says so."""
        if not 1 <= step.speed < 1e6:
            raise CannotSay(f"a spindle speed of {step.speed:g} rpm")
        speed = f"{step.speed:.0f}"
        head = self._stop(f"extraction on, set the spindle to {speed} rpm", said) if step.by_hand else ""
        return head + f"SPINDL/{speed},CLW\n" + self.wait(step.wake_s)

    def spindleoff(self, step: SpindleOff, said: Said) -> str:
        """Stop it, and wait until it stands."""
        return "SPINDL/OFF\n" + self.wait(step.run_down_s)

    def cutterchange(self, step: CutterChange, said: Said) -> str:
        """The text names its first cutter, which the operator has fitted; where it changes cutters it loads every one. In a
        program of one cutter another one is refused. After a change stands a stop: somebody sees to its zero.
        """
        c, first = step.cutter, not said.fitted
        last = said.fitted or said.program.cutter.number
        if c.number != last and (first or self.change == "separate_programs"):
            raise CannotSay(f"{self.name} says one program a cutter: {last}, then {c.number}")
        said.forget()
        said.fitted = c.number
        what = described(c)
        load = f"LOADTL/{c.number}\nCUTTER/{fixed(round(c.cuts / self.digit), self.places)}\n"
        if self.change == "automatic":
            return load + self._stop(f"cutter {c.number} {what} in the spindle? Z touched off with it?", said)
        if first:
            return self._said("PPRINT", f"cutter {c.number} {what}") + load
        return self._stop(f"fit cutter {c.number} {what}, touch Z off with it", said) + load

    def _cleared(self, start: Ints) -> str:
        """To a place from an unknown one: Z to its height, then X and Y."""
        x, y, z = (fixed(int(v), self.places) for v in start)
        return f"CLEARP/XYPLAN,{z}\nRETRCT\nRAPID\nGOTO/{x},{y},{z}\n"

    def _stop(self, message: str, said: Said) -> str:
        """The operator may move and set anything: afterwards nothing is known, and units are stated again."""
        said.forget()
        return (self._said("PPRINT", message) or self._said("PPRINT", "stop")) + "STOP\n" + self._units()

    def _units(self) -> str:
        return f"UNITS/{'INCHES' if self.units == 'inch' else 'MM'}\n"

    def _said(self, word: str, text: str) -> str:
        """Text in as many lines as it takes; nothing where no character of it can be said."""
        return "".join(
            f"{word} {line}\n"
            for line in remarks(text, self.block_length - len(word) - 1)[: 1 if word == "PARTNO" else None]
        )
