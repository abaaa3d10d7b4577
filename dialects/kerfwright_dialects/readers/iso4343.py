"""Reader of ISO 4343 as text, written from the document as remembered, without the page at hand.

Read: PARTNO, PPRINT, UNITS, CLEARP, RETRCT, RAPID, FEDRAT a minute, GOTO, CIRCLE in the XY plane, SPINDL, DELAY, COOLNT, LOADTL,
CUTTER, STOP, OPSTOP, END, FINI. A RETRCT goes up along the spindle by rapid to the plane that CLEARP named; X and Y stay. RAPID and
CIRCLE hold for the GOTO that follows them at once. CUTTER moves nothing: places are those of the cutter's center.
Refused: every other word. Whether LOADTL changes cutters, or names the one that was fitted by hand, the traits tell.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.errors import CannotRead
from kerfwright.hookspecs import hookimpl
from kerfwright.moves import Moves
from kerfwright.reader import Reader
from kerfwright_dialects.readers.cutterlocation.following import follow
from kerfwright_dialects.readers.cutterlocation.runs import RUN, ready, take
from kerfwright_dialects.readers.cutterlocation.state import State
from kerfwright_dialects.readers.cutterlocation.statement import statement
from kerfwright_dialects.readers.sink import Sink

__all__ = ["Iso4343Reader", "kerfwright_readers"]

WORTH = 16
"""Shorter runs of moves are followed line by line."""
HAS = {"arc_centers": "absolute", "quadrants": "multi", "dwell_unit": "s", "helices": False, "cycles": False}
"""Traits that the language has no other way for."""


@define(frozen=True, kw_only=True)
class Iso4343Reader(Reader):
    """Arcs of more than about half a turn become two segments of one line."""

    language: ClassVar[str] = "iso4343"
    document: ClassVar[str] = "ISO 4343, NC processor output, post processor commands"

    def read(self, text: str) -> Moves:
        """Moves and events, from text alone. Raises CannotRead with line, word and rule."""
        for trait, only in HAS.items():
            if (said := getattr(self.traits, trait)) != only:
                raise CannotRead(0, "", f"{trait} {said!r}: this language has {only!r}")
        text = text.replace("\r\n", "\n").replace("\r", "\n")
        text += "" if text.endswith("\n") or not text else "\n"
        state, sink, longest = State(), Sink(), self.traits.block_length
        at, line, slowly = 0, 1, 0
        while at < len(text):
            if at >= slowly and ready(state) and (run := RUN.match(text, at)):
                lines = text.count("\n", at, run.end())
                if lines >= WORTH and take(run[0], line, longest, state, sink):
                    at, line = run.end(), line + lines
                    continue
                slowly = run.end()
            end = text.index("\n", at)
            said = statement(text[at:end], line, longest)
            if said is not None:
                follow(said, state, sink, self.traits)
            at, line = end + 1, line + 1
        if state.rapid or state.circle is not None:
            raise CannotRead(line - 1, "", "RAPID and CIRCLE are followed by their GOTO")
        return sink.moves(line - 1)


@hookimpl
def kerfwright_readers() -> list[type[Reader]]:
    """The reader of ISO 4343."""
    return [Iso4343Reader]
