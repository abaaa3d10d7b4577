"""RS274/NGC as NISTIR 6556 defines it: Kramer, Proctor, Messina, The NIST RS274NGC Interpreter, version 3 (2000).

Used of it: rapid, line, arc and helix in the XY plane with incremental centers, dwell in seconds, spindle, stop, T word,
comments, program end. Refused: a change of cutter inside a program, rapids along arcs. Drill strokes are written out as
motion, so nothing depends on how a controller carries out a canned cycle. Every rule below is given from memory.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.dialect import Dialect, Said
from kerfwright.hookspecs import hookimpl
from kerfwright.writing.wordaddress import WordAddress

__all__ = ["Nist6556", "kerfwright_dialects"]


@define(frozen=True, kw_only=True)
class Nist6556(WordAddress):
    """RS274/NGC (NISTIR 6556), the subset that a light router needs."""

    name = "nist6556"
    document = "NISTIR 6556, The NIST RS274NGC Interpreter, version 3 (2000)"
    language = "rs274ngc"
    suffix = ".nc"
    compensations = 2
    rules: ClassVar[tuple[tuple[str, str], ...]] = (
        ("lengths in mm after G21, alone in its block before any length or feed", "from memory"),
        ("one word of a modal group, and at most four M words, in a block of at most 256 characters", "from memory"),
        ("I and J count from the arc's start (G17, G2 and G3)", "from memory"),
        ("the radii to an arc's two ends differ by at most 0.002 mm, or 0.0002 inch", "from memory"),
        ("ends at one place would be a full circle: never written, a circle is two arcs", "from memory"),
        ("G4 waits P seconds, and leaves the motion word in force", "from memory"),
        ("F is a length a minute (G94)", "from memory"),
        ("G61 keeps to the way exactly; G54 is the first work offset", "from memory"),
        ("M0 stops, M2 ends the program; a comment stands in parentheses, and none inside another", "from memory"),
        ("T alone changes nothing by itself: the operator has fitted the cutter it names", "from memory"),
    )

    def modes(self, said: Said) -> list[str]:
        """Units; XY plane, absolute, feed a minute; no compensation, no cycle; work offset; exact path."""
        units = "G20" if self.units == "inch" else "G21"
        return [units, "G17 G90 G94", "G40 G49 G80", f"G{53 + self.work_offset} G61"]


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [Nist6556]
