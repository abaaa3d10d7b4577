"""ISO 4343: numerical control of machines, NC processor output, post processor commands (1978, 2000), as text.

Used of it: PARTNO, UNITS, CLEARP, RETRCT, RAPID, FEDRAT, GOTO, CIRCLE, SPINDL, DELAY, LOADTL, CUTTER, PPRINT, STOP, END, FINI. Not
word address at all: a statement a line, a major word, a slash, and what belongs to it. Places are absolute, arcs lie in the XY
plane; helices are said as chords, cycles stroke by stroke. Every rule below is given from memory, without the page at hand.
"""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.dialect import Dialect, Said
from kerfwright.hookspecs import hookimpl
from kerfwright.program import Drilling, Motion
from kerfwright.writing.statements import statements
from kerfwright.writing.statementsteps import StatementSteps
from kerfwright.writing.strokes import across, between_waits

__all__ = ["Iso4343", "kerfwright_dialects"]


@define(frozen=True, kw_only=True)
class Iso4343(StatementSteps):
    """ISO 4343 as a light router needs it."""

    name = "iso4343"
    document = "ISO 4343, NC processor output, post processor commands"
    language = "iso4343"
    suffix = ".cl"
    compensations = 0
    settled = ("distance", "plane", "feed_mode", "offset", "path")
    rules: ClassVar[tuple[tuple[str, str], ...]] = (
        ("one statement a line: a major word, a slash, minor words and numbers parted by commas", "from memory"),
        ("PARTNO and PPRINT carry text after a blank; at most 72 characters a line", "from memory"),
        ("UNITS/MM or UNITS/INCHES before any length", "from memory"),
        (
            "CLEARP/XYPLAN,z names the clearance plane; RETRCT withdraws the cutter along the spindle to it",
            "from memory",
        ),
        ("GOTO/x,y,z moves on a line, absolute; RAPID before it holds for this one move", "from memory"),
        ("FEDRAT/f,PERMIN is the feed a minute until another is said", "from memory"),
        (
            "CIRCLE/x,y,z,0,0,k,r is the circle about x,y,z on which the next GOTO ends; k 1 is counter-clockwise",
            "from memory; the direction by the sign of the axis is common practice",
        ),
        ("SPINDL/n,CLW starts the spindle clockwise, SPINDL/OFF stops it; DELAY/s waits seconds", "from memory"),
        ("LOADTL/n puts a cutter in; CUTTER/d says its diameter", "from memory"),
        ("STOP waits for the operator; END ends the work of the machine, FINI the text", "from memory"),
        ("a circle is two arcs: ends at one place have no one meaning", "our own rule"),
    )

    start: str = fields.absent("")
    end: str = fields.absent("END")
    titled: bool | None = fields.absent(None)
    sequence: bool = fields.absent(False)
    block_length: int = fields.absent(72)
    comments: str = fields.absent("statements")
    centers: str = fields.absent("absolute")
    quadrants: str = fields.absent("multi")
    helices: bool = fields.absent(False)
    dwell_unit: str = fields.absent("s")
    dwell_word: str = fields.absent("DELAY")
    cycles: bool = fields.absent(False)
    work_offset: int = fields.absent(0)

    def motion(self, step: Motion, said: Said) -> str:
        """Moves along a curve; from an unknown place by way of the clearance plane, Z first."""
        first = self.rounded(step.curve.nodes[:1])[0]
        here = self._standing(first, said)
        start = first if here is None else here
        turns, q, arcs, old = self._sayable(step, start)
        at = np.flatnonzero(np.diff(q, axis=0).any(axis=1))
        arcs, feed = arcs.of(at), self.feeds(step.feeds)[old][at]
        cut = np.flatnonzero(feed)
        new = np.zeros(len(at), np.bool_)
        new[cut] = feed[cut] != np.concatenate([[said.words.get("F", -1)], feed[cut][:-1]])[: len(cut)]
        said.here = q[-1] * self.digit
        if len(cut):
            said.words["F"] = int(feed[cut][-1])
        sense = np.sign(turns[at]).astype(np.int64)
        text = statements(q[1:][at], q[:-1][at], arcs, sense, feed, new, (self.places, self.feed_places))
        return text if here is not None else self.cleared(start) + text

    def drilling(self, step: Drilling, said: Said) -> str:
        """Stroke by stroke; a delay at the bottom of the stroke that has one."""
        there = np.array([*step.points[0], step.travel])
        out = [self.motion(across(said.here, there), said)] if said.known else []
        for piece, seconds in between_waits(step):
            out += [self.motion(piece, said), self.wait(seconds, said)]
        return "".join(out)


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [Iso4343]
