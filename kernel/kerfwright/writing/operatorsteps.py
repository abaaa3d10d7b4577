"""Steps that concern the operator, said once for every language: stops, waits, spindle, cutters."""

from __future__ import annotations

import math
from typing import ClassVar

from attrs import define

from kerfwright.cutter import Cutter
from kerfwright.dialect import Said
from kerfwright.errors import CannotSay
from kerfwright.program import CutterChange, Dwell, Note, Pause, SpindleOff, SpindleOn
from kerfwright.writing.sayable import Sayable
from kerfwright.writing.wordtext import fixed

__all__ = ["OperatorSteps"]


@define(frozen=True, kw_only=True)
class OperatorSteps(Sayable):
    """What stands when. A subclass has the words: `comment`, `stop`, `delay`, `turning`, `standing`, `loading`, `fetching`."""

    numbered: ClassVar[str] = "T"
    """What a cutter's number follows in text for the operator."""

    def comment(self, text: str) -> str:
        """Text for the operator; nothing where no character of it can be said."""
        raise NotImplementedError

    def stop(self, message: str, said: Said) -> str:
        """Stop for the operator, who may move and set anything: afterwards nothing is known, and every mode is restated."""
        raise NotImplementedError

    def delay(self, seconds: float, said: Said) -> str:
        """A wait above 0."""
        raise NotImplementedError

    def turning(self, speed: str) -> str:
        """Starts the spindle clockwise."""
        raise NotImplementedError

    def standing(self) -> str:
        """Stops the spindle."""
        raise NotImplementedError

    def loading(self, cutter: Cutter) -> str:
        """Names the cutter that is in the spindle."""
        raise NotImplementedError

    def fetching(self, cutter: Cutter) -> str:
        """A changer puts it in."""
        raise NotImplementedError

    def wait(self, seconds: float, said: Said) -> str:
        """Dwell; nothing for none."""
        if not 0 <= seconds < 10_000:
            raise CannotSay(f"a dwell of {seconds:g} s is no time to wait")
        return self.delay(seconds, said) if seconds else ""

    def time(self, seconds: float) -> str:
        """A dwell as its word has it, rounded up to a thousandth of a second."""
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
        return self.wait(step.seconds, said)

    def spindleon(self, step: SpindleOn, said: Said) -> str:
        """Clockwise at a whole number of turns; set by hand, after a stop that says so."""
        if not 1 <= step.speed < 1e6:
            raise CannotSay(f"a spindle speed of {step.speed:g} rpm")
        speed = f"{step.speed:.0f}"
        if step.by_hand and self.comments == "none":
            raise CannotSay(f"a stop that says {speed} rpm, without comments")
        head = self.stop(f"extraction on, set the spindle to {speed} rpm", said) if step.by_hand else ""
        return head + self.turning(speed) + self.wait(step.wake_s, said)

    def spindleoff(self, step: SpindleOff, said: Said) -> str:
        """Stop it, and wait until it stands."""
        return self.standing() + self.wait(step.run_down_s, said)

    def cutterchange(self, step: CutterChange, said: Said) -> str:
        """The text names its first cutter, which the operator has fitted; where cutters are changed by it, it fetches every
        one. In a program of one cutter another one is refused.

        After a change stands a stop: nothing in the text says how long a cutter is, so somebody sees to its zero.
        """
        c, first, n = step.cutter, not said.fitted, self.numbered
        last = said.fitted or said.program.cutter.number
        if c.number != last and (first or self.change == "separate_programs"):
            raise CannotSay(f"{self.name} says one program a cutter: {n}{last}, then {n}{c.number}")
        said.forget()
        said.fitted = c.number
        what = f"{c.name}: {c.form.replace('_', ' ')} D{c.cuts:g} mm"
        if self.change == "automatic":
            return self.fetching(c) + self.stop(f"{n}{c.number} {what} in the spindle? Z touched off with it?", said)
        if first:
            return self.comment(f"cutter {c.number} {what}") + self.loading(c)
        return self.stop(f"fit {n}{c.number} {what}, touch Z off with it", said) + self.loading(c)
