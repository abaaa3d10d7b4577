"""Reader of RS274/NGC, written from NISTIR 6556 as remembered, without the page at hand.

What the text does not say is not taken for granted: units, distance mode, plane of an arc and return level of a cycle
must be said before they are relied on, because a controller keeps what the last program left.
Refused where the document would go on: block delete, whose effect depends on a switch; text behind the program's end;
and all that lies outside flat work in the XY plane (`codes.REFUSED`).
"""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright.arrays import Bools
from kerfwright.errors import CannotRead
from kerfwright.hookspecs import hookimpl
from kerfwright.moves import Moves
from kerfwright.reader import Reader
from kerfwright_dialects.readers.rs274ngc.execute import SECONDS, execute
from kerfwright_dialects.readers.rs274ngc.runs import follow, ready
from kerfwright_dialects.readers.rs274ngc.sink import Sink
from kerfwright_dialects.readers.rs274ngc.state import State
from kerfwright_dialects.readers.rs274ngc.table import table
from kerfwright_dialects.readers.rs274ngc.words import block

__all__ = ["Rs274Ngc", "kerfwright_readers"]

WORTH = 16
"""Shorter runs of plain lines are followed one by one."""


@define(frozen=True, kw_only=True)
class Rs274Ngc(Reader):
    """RS274/NGC as NISTIR 6556 defines it. Arcs of more than about half a turn become two segments of one line."""

    language: ClassVar[str] = "rs274ngc"
    document: ClassVar[str] = "NISTIR 6556, The NIST RS274/NGC Interpreter, version 3"

    def read(self, text: str) -> Moves:
        """Moves and events, from text alone. Raises CannotRead with line, word and rule."""
        if self.traits.arc_centers not in ("incremental", "radius") or self.traits.dwell_unit not in SECONDS:
            raise CannotRead(0, "", "this language has incremental arc centers and dwells in seconds or ms")
        lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        if not lines[-1]:
            lines.pop()
        state, sink = State(), Sink()
        first, last = _delimited(lines)
        if first:
            sink.event("start", "", first)
        plain = table("\n".join([*lines, ""]), self.traits.block_length)
        for begin, end, alike in _stretches(plain.plain, first, last):
            k, at_once = begin, alike
            while k < end:
                if at_once and end - k >= WORTH and ready(state):
                    at_once = False
                    if follow(plain.values[:, k:end], k + 1, state, sink, self.traits):
                        break
                self._line(lines[k], k + 1, state, sink)
                k += 1
        return sink.moves(len(lines))

    def _line(self, text: str, line: int, state: State, sink: Sink) -> None:
        if not text.strip(" \t"):
            return
        if text.strip(" \t") == "%":
            if not state.ended:
                raise CannotRead(line, "%", "a percent line ends only a file that begins with one")
            return
        found = block(text, line, self.traits.block_length)
        if state.ended:
            raise CannotRead(line, "", "nothing but percent lines follows the program's end")
        execute(found, state, sink, self.traits)


def _delimited(lines: list[str]) -> tuple[int, int]:
    """The lines between two percent lines, or all of them: what stands behind the second one is no part of the file."""
    marks = (k for k, text in enumerate(lines) if "%" in text and text.strip(" \t") == "%")
    first = next(marks, None)
    if first is None or any(text.strip(" \t") for text in lines[:first]):
        return 0, len(lines)
    second = next(marks, None)
    if second is None:
        raise CannotRead(first + 1, "%", "a file that begins with a percent line ends with one")
    return first + 1, second


def _stretches(plain: Bools, first: int, last: int) -> list[tuple[int, int, bool]]:
    """From, to, and whether its lines are plain: the lines from `first` to `last` in stretches of one sort."""
    some = plain[first:last]
    cuts = [0, *(np.flatnonzero(np.diff(some)) + 1).tolist(), len(some)]
    return [(first + a, first + b, bool(some[a])) for a, b in zip(cuts, cuts[1:], strict=False) if a < b]


@hookimpl
def kerfwright_readers() -> list[type[Reader]]:
    """The reader of RS274/NGC."""
    return [Rs274Ngc]
