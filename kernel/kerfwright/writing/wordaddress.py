"""Word-address programs (ISO 6983, RS274): blocks of letters and numbers. The superset that word-address dialects vary.

Must override: `name`, `document`, `language`, `modes`. May override: any step, `opening`, `closing`, `stop`, `delay`, and the
class variables of `WordFields`, `WordMotion`, `WordCycles`.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.cutter import Cutter
from kerfwright.dialect import Said
from kerfwright.errors import CannotSay
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
        out = [line if plain else f"N{next(numbers)} {line}" for line, plain in zip(lines, bare, strict=True)]
        return "\n".join([*out, ""])

    def comment(self, text: str) -> str:
        """A comment, in as many lines as it takes; nothing where no character of it can be said, or there are none."""
        if self.comments == "none":
            return ""
        return self.blocks(*(f"({line})" for line in remarks(text, self.block_length - 2)))

    def stop(self, message: str, said: Said) -> str:
        """Stop for the operator, who may move and set anything: afterwards nothing is known, and every mode is restated."""
        said.forget()
        return (self.comment(message) or self.comment("stop")) + self.blocks(self.m(0), *self.modes(said))

    def delay(self, seconds: float, said: Said) -> str:
        """A block. A time in F is never taken for a feed: the feed is said anew."""
        if self.dwell_word == "F":
            said.words.pop("F", None)
        return self.blocks(f"{self.g(4)} {self.dwell_word}{self.time(seconds)}")

    def turning(self, speed: str) -> str:
        """M before S."""
        return self.blocks(f"{self.m(3)} S{speed}")

    def standing(self) -> str:
        """M5."""
        return self.blocks(self.m(5))

    def loading(self, cutter: Cutter) -> str:
        """A T word."""
        return self.blocks(f"T{cutter.number}")

    def fetching(self, cutter: Cutter) -> str:
        """A T word and M6."""
        return self.blocks(f"T{cutter.number} {self.m(6)}")
