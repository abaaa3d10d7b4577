"""RS274/NGC as NISTIR 6556 defines it: Kramer, Proctor, Messina, The NIST RS274NGC Interpreter, version 3 (2000).

Used of it: rapid, line, arc and helix in the XY plane with incremental centers or a radius, dwell, spindle, stop, T word and
change of cutter, canned cycles G81 and G82, work offsets 1 to 6, comments, program end. Refused: rapids along arcs, absolute
centers. Strokes that no cycle makes (pecks come back down by feed, in G83 by rapid) are written out.
Every rule below is given from memory.
"""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright import fields
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
    canned: ClassVar[tuple[int, ...]] = (81, 82)
    start_ends = True
    rules: ClassVar[tuple[tuple[str, str], ...]] = (
        ("lengths in mm after G21, alone in its block before any length or feed", "from memory"),
        ("one word of a modal group, and at most four M words, in a block of at most 256 characters", "from memory"),
        (
            "I and J count from the arc's start (G17, G2 and G3); R instead is the radius of an arc of at most half a turn",
            "from memory",
        ),
        ("the radii to an arc's two ends differ by at most 0.002 mm, or 0.0002 inch", "from memory"),
        ("ends at one place would be a full circle: never written, a circle is two arcs", "from memory"),
        ("G4 waits P seconds, and leaves the motion word in force; milliseconds are a variation", "from memory"),
        (
            "G81 goes by rapid across and to R, by feed to Z, by rapid back to where it came from (G98); G82 waits P seconds at Z",
            "from memory",
        ),
        ("R of a cycle lies above its Z; G80 ends it, and leaves no motion word in force", "from memory"),
        ("F is a length a minute (G94)", "from memory"),
        ("G61 keeps to the way exactly; G54 is the first work offset", "from memory"),
        (
            "M0 stops, M2 or M30 ends the program; a comment stands in parentheses, and none inside another",
            "from memory",
        ),
        ("a file that begins with a line of % alone ends with one", "from memory"),
        ("a line number stands first, N and one to five digits", "from memory"),
        (
            "T alone changes nothing by itself: the operator has fitted the cutter it names; M6 puts it in and stops the spindle",
            "from memory",
        ),
    )

    centers: str = fields.choice(
        "how an arc says its center", ("incremental", "radius"), default="incremental", key="word.centers"
    )
    quadrants: str = fields.absent("multi")
    dwell_word: str = fields.absent("P")
    cycles: bool = fields.flag("canned cycles, where they do the same", default=True, key="word.cycles")

    def modes(self, said: Said) -> list[str]:
        """Units; XY plane, absolute, feed a minute; no compensation, no cycle; work offset; exact path."""
        units = "G20" if self.units == "inch" else "G21"
        return [units, "G17 G90 G94", "G40 G49 G80", f"G{53 + self.work_offset} G61"]


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [Nist6556]
