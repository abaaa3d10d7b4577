"""The text itself: characters that every controller takes, lines no longer than the language allows, one end."""

from __future__ import annotations

import re
from collections.abc import Iterable

from attrs import define

from kerfwright.evidence import Evidence, Reading
from kerfwright.finding import Check, Finding

__all__ = ["TextCheck"]

ODD = re.compile(r"[^\t\n\x20-\x7e]")
"""What some controllers do not take."""


@define(frozen=True, kw_only=True)
class TextCheck(Check):
    """Printable ASCII, lines within the block length that the dialect declares, one program end."""

    name = "text"
    remedy = "write the program anew, or mend the line in an editor that keeps to plain text"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """The first of each kind in each program; walk-rounds too. Moves made by hand have no text."""
        for r in evidence.readings:
            if r.text:
                yield from self._in(r)

    def _in(self, r: Reading) -> Iterable[Finding]:
        whole = r.text.replace("\r\n", "\n")
        lines = whole.split("\n")
        odd = ODD.search(whole)
        if odd is not None:
            text = f"has the character {ascii(odd[0])[1:-1]}, allowed: printable ASCII"
            yield Finding(self.name, "error", text, program=r.file, line=whole.count("\n", 0, odd.start()) + 1)
        most = r.traits.block_length if r.traits is not None else 256
        for n, line in enumerate(lines, 1):
            if len(line) > most:
                text = f"a line of {len(line)} characters, allowed: at most {most}"
                yield Finding(self.name, "error", text, program=r.file, line=n)
                break
        ends = [e for e in r.moves.events if e.kind == "end"] if r.moves is not None else []
        for e in ends[1:2]:
            yield Finding(self.name, "error", "ends twice", program=r.file, line=e.line)
