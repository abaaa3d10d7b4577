"""The reader of a word-address language: blocks one by one, long runs of plain lines at once."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Bools
from kerfwright.errors import CannotRead
from kerfwright.moves import Moves
from kerfwright.reader import Reader
from kerfwright_dialects.readers.sink import Sink
from kerfwright_dialects.readers.wordaddress.execute import SECONDS, execute
from kerfwright_dialects.readers.wordaddress.grammar import Grammar
from kerfwright_dialects.readers.wordaddress.runs import follow, ready
from kerfwright_dialects.readers.wordaddress.state import State
from kerfwright_dialects.readers.wordaddress.table import table
from kerfwright_dialects.readers.wordaddress.words import block

__all__ = ["WordReader"]

WORTH = 16
"""Shorter runs of plain lines are followed one by one."""
MANY = 50_000
"""Lines that are followed together, for speed."""


@define(frozen=True, kw_only=True)
class WordReader(Reader):
    """Arcs of more than about half a turn become two segments of one line."""

    grammar: ClassVar[Grammar]
    forms: ClassVar[dict[str, tuple[str, ...]]] = {}
    """Values of traits that the language can have; a trait that is not there is as its default says."""

    def read(self, text: str) -> Moves:
        """Moves and events, from text alone. Raises CannotRead with line, word and rule."""
        for trait, allowed in {"dwell_unit": tuple(SECONDS), **self.forms}.items():
            if getattr(self.traits, trait) not in allowed:
                rule = f"{trait} {getattr(self.traits, trait)!r}: this language has {' or '.join(map(repr, allowed))}"
                raise CannotRead(0, "", rule)
        lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        if not lines[-1]:
            lines.pop()
        state, sink, grammar = State(), Sink(), self.grammar
        first, last = _delimited(lines, grammar.closes)
        if first:
            sink.event("start", "", first)
        plain = table("\n".join([*lines, ""]), self.traits.block_length, grammar.number_digits)
        if grammar.capitals and text != text.upper():
            plain.plain[[k for k, one in enumerate(lines) if one != one.upper()]] = False
        for begin, end, alike in _stretches(plain.plain, first, last):
            k, at_once = begin, alike
            while k < end:
                if at_once and end - k >= WORTH and ready(state):
                    stop = min(end, k + MANY)
                    if follow(plain.values[:, k:stop], k + 1, state, sink, self.traits, grammar):
                        k = stop
                        continue
                    at_once = False
                self._line(lines[k], k + 1, state, sink)
                k += 1
        return sink.moves(len(lines))

    def _line(self, text: str, line: int, state: State, sink: Sink) -> None:
        if not text.strip(" \t"):
            return
        if text.strip(" \t") == "%":
            if not (state.ended and self.grammar.closes):
                rule = (
                    "a percent line ends only a file that begins with one"
                    if self.grammar.closes
                    else "a percent line stands first"
                )
                raise CannotRead(line, "%", rule)
            return
        found = block(text, line, self.traits.block_length, self.grammar.number_digits, self.grammar.capitals)
        if state.ended:
            raise CannotRead(line, "", "nothing but percent lines follows the program's end")
        if found.number is not None:
            if self.grammar.rising and found.number <= state.number:
                raise CannotRead(line, f"N{found.number}", f"numbers of blocks rise, and N{state.number} came before")
            state.number = found.number
        execute(found, state, sink, self.traits, self.grammar)


def _delimited(lines: list[str], closes: bool) -> tuple[int, int]:
    """The lines between two percent lines, or all of them: what stands behind the second one is no part of the file. Where
    nothing closes a text, those behind the first line.
    """
    marks = (k for k, text in enumerate(lines) if "%" in text and text.strip(" \t") == "%")
    first = next(marks, None)
    if first is None or any(text.strip(" \t") for text in lines[:first]):
        return 0, len(lines)
    if not closes:
        return first + 1, len(lines)
    second = next(marks, None)
    if second is None:
        raise CannotRead(first + 1, "%", "a file that begins with a percent line ends with one")
    return first + 1, second


def _stretches(plain: Bools, first: int, last: int) -> list[tuple[int, int, bool]]:
    """From, to, and whether its lines are plain: the lines from `first` to `last` in stretches of one sort."""
    some = plain[first:last]
    cuts = [0, *(np.flatnonzero(np.diff(some)) + 1).tolist(), len(some)]
    return [(first + a, first + b, bool(some[a])) for a, b in zip(cuts, cuts[1:], strict=False) if a < b]
