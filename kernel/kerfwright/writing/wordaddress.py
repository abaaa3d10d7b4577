"""Word-address programs (ISO 6983, RS274): blocks of letters and numbers. The superset that word-address dialects vary.

Must override: `name`, `document`, `language`, `modes`. May override: any step, `opening`, `closing`, `stop`, `wait`, and the
class variables of `WordFields`, `WordMotion`, `WordCycles`.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.dialect import Said
from kerfwright.errors import CannotSay
from kerfwright.program import CutterChange, Dwell, Note, Pause, SpindleOff, SpindleOn
from kerfwright.writing.cuttertext import described
from kerfwright.writing.remark import remarks
from kerfwright.writing.wordcycles import WordCycles
from kerfwright.writing.wordmotion import ARC_OFF, CHORD

__all__ = ["ARC_OFF", "CHORD", "WordAddress"]


@define(frozen=True, kw_only=True)
class WordAddress(WordCycles):
    """What word-address dialects have in common besides moves; the fields are what data may vary."""

    start_ends: ClassVar[bool] = False
    """The line that starts the text also ends it."""
    last_number: ClassVar[int] = 99_999
    """Greatest number of a block."""

    def modes(self, said: Said) -> list[str]:
        """Blocks that state every mode the program relies on, units first and alone."""
        raise NotImplementedError

    def opening(self, said: Said) -> str:
        """What the text is, then its modes."""
        p = said.program
        title = "" if self.titled is False else self.comment(f"{p.name}: {p.kind}, sheet {p.sheet}")
        return (self.blocks(self.start) if self.start else "") + title + self.blocks(*self.modes(said))

    def closing(self, said: Said) -> str:
        """Program end."""
        more = (self.start,) if self.start and self.start_ends else ()
        return self.blocks(self.m(int(self.end[1:])), *more)

    def finished(self, text: str) -> str:
        """Numbers of blocks, and line ends."""
        if self.sequence:
            text = self._numbered(text)
        return text.replace("\n", "\r\n") if self.ending == "crlf" else text

    def _numbered(self, text: str) -> str:
        """In tens, or by one where there are too many; comments and `%` have none."""
        lines = text.splitlines()
        bare = [line[0] in "(%" for line in lines]
        count = len(lines) - sum(bare)
        if count > self.last_number:
            raise CannotSay(f"{count} blocks with numbers up to {self.last_number}")
        step = 10 if count * 10 <= self.last_number else 1
        numbers = iter(range(step, (count + 1) * step, step))
        return "".join(
            f"{line}\n" if plain else f"N{next(numbers)} {line}\n" for line, plain in zip(lines, bare, strict=True)
        )

    def comment(self, text: str) -> str:
        """A comment, in as many lines as it takes; nothing where no character of it can be said, or there are none."""
        if self.comments == "none":
            return ""
        return self.blocks(*(f"({line})" for line in remarks(text, self.block_length - 2)))

    def stop(self, message: str, said: Said) -> str:
        """Stop for the operator, who may move and set anything: afterwards nothing is known, and every mode is restated."""
        said.forget()
        return (self.comment(message) or self.comment("stop")) + self.blocks(self.m(0), *self.modes(said))

    def wait(self, seconds: float, said: Said) -> str:
        """Dwell; no block for none. A time in F is never taken for a feed: the feed is said anew."""
        if not 0 <= seconds < 10_000:
            raise CannotSay(f"a dwell of {seconds:g} s is no time to wait")
        if self.dwell_word == "F":
            said.words.pop("F", None)
        return self.blocks(f"{self.g(4)} {self.dwell_word}{self.time(seconds)}") if seconds else ""

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
        return head + self.blocks(self.turning(speed)) + self.wait(step.wake_s, said)

    def turning(self, speed: str) -> str:
        """The block that starts the spindle."""
        return f"{self.m(3)} S{speed}"

    def spindleoff(self, step: SpindleOff, said: Said) -> str:
        """Stop it, and wait until it stands."""
        return self.blocks(self.m(5)) + self.wait(step.run_down_s, said)

    def cutterchange(self, step: CutterChange, said: Said) -> str:
        """The text names its first cutter, which the operator has fitted; where cutters are changed by it, it fetches every
        one. In a program of one cutter another one is refused.

        After a change stands a stop: nothing in the text says how long a cutter is, so somebody sees to its zero.
        """
        c, first = step.cutter, not said.fitted
        last = said.fitted or said.program.cutter.number
        if c.number != last and (first or self.change == "separate_programs"):
            raise CannotSay(f"{self.name} says one program a cutter: T{last}, then T{c.number}")
        said.forget()
        said.fitted = c.number
        what = described(c)
        if self.change == "automatic":
            fetched = self.blocks(f"T{c.number} {self.m(6)}")
            return fetched + self.stop(f"T{c.number} {what} in the spindle? Z touched off with it?", said)
        if first:
            return self.comment(f"cutter {c.number} {what}") + self.blocks(f"T{c.number}")
        return self.stop(f"fit T{c.number} {what}, touch Z off with it", said) + self.blocks(f"T{c.number}")
