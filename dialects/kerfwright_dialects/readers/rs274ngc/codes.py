"""G and M codes of the document: their modal groups, and those whose effect is outside what is read (from memory)."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kerfwright.errors import CannotRead
from kerfwright_dialects.readers.rs274ngc.words import Block, Word

__all__ = ["Codes", "codes"]

MOST_M = 4
_PLANE = "only the XY plane is read"
_CYCLE = "of the canned cycles only G81, G82 and G83 are read"
_RADIUS = "cutter radius compensation is outside what is read"
_OFFSET = "axis offsets are outside what is read"

_GROUPS: dict[str, tuple[str, ...]] = {
    "nonmodal": ("G4", "G10", "G28", "G30", "G53", "G92", "G92.1", "G92.2", "G92.3"),
    "motion": (
        "G0", "G1", "G2", "G3", "G38.2", "G80", "G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89",
    ),
    "plane": ("G17", "G18", "G19"),
    "units": ("G20", "G21"),
    "radius compensation": ("G40", "G41", "G42"),
    "length compensation": ("G43", "G49"),
    "work offset": ("G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"),
    "path control": ("G61", "G61.1", "G64"),
    "distance": ("G90", "G91"),
    "feed mode": ("G93", "G94"),
    "return level": ("G98", "G99"),
    "stopping": ("M0", "M1", "M2", "M30", "M60"),
    "cutter change": ("M6",),
    "spindle": ("M3", "M4", "M5"),
    "coolant": ("M7", "M8", "M9"),
    "overrides": ("M48", "M49"),
}  # fmt: skip
GROUP: Mapping[str, str] = MappingProxyType({code: group for group, members in _GROUPS.items() for code in members})
"""Modal group of each code. `nonmodal` is no modal group, but two of it in a block have no order."""
REFUSED: Mapping[str, str] = MappingProxyType({
    "G10": "setting of coordinate systems is outside what is read",
    "G18": _PLANE,
    "G19": _PLANE,
    "G28": "return to a stored place is outside what is read",
    "G30": "return to a stored place is outside what is read",
    "G38.2": "probing is outside what is read",
    "G41": _RADIUS,
    "G42": _RADIUS,
    "G43": "length compensation is outside what is read",
    "G53": "motion in machine coordinates is outside what is read",
    **dict.fromkeys(("G84", "G85", "G86", "G87", "G88", "G89"), _CYCLE),
    **dict.fromkeys(("G92", "G92.1", "G92.2", "G92.3"), _OFFSET),
    "G93": "inverse time feed is outside what is read",
    "M60": "pallet change is outside what is read",
})  # fmt: skip


class Codes:
    """What one block says: `by_group` its G and M codes, `words` all others by letter."""

    __slots__ = ("by_group", "line", "said", "words")

    def __init__(self, line: int) -> None:
        self.line = line
        self.by_group: dict[str, str] = {}
        self.said: dict[str, str] = {}
        self.words: dict[str, Word] = {}

    def value(self, letter: str) -> float | None:
        """Number of a word, None where the block has none."""
        word = self.words.get(letter)
        return None if word is None else word.value

    def fault(self, of: str, rule: str) -> CannotRead:
        """A fault of this block; `of` is a letter, a code or a text."""
        word = self.words[of].said if of in self.words else of
        return CannotRead(self.line, word, rule)


def codes(block: Block) -> Codes:
    """The words of a block by group and letter: each letter once, one word a modal group, at most four M words."""
    out = Codes(block.line)
    count_m = 0
    for word in block.words:
        if word.letter not in "GM":
            if word.letter in out.words:
                raise CannotRead(block.line, word.said, f"a block has at most one {word.letter} word")
            out.words[word.letter] = word
            continue
        code = _name(word)
        group = GROUP.get(code)
        if group is None:
            raise CannotRead(block.line, word.said, f"this {word.letter} code is not in the document")
        count_m += word.letter == "M"
        if count_m > MOST_M:
            raise CannotRead(block.line, word.said, f"a block has at most {MOST_M} M words")
        if group in out.by_group:
            other = out.by_group[group]
            what = "nonmodal code" if group == "nonmodal" else f"word of the modal group {group}"
            raise CannotRead(block.line, word.said, f"a block has at most one {what}, and this has {other} already")
        if code in REFUSED:
            raise CannotRead(block.line, word.said, REFUSED[code])
        out.by_group[group] = code
    return out


def _name(word: Word) -> str:
    """`G59.1` for any spelling of it; a number that is no code stays as it is spelled."""
    tenths = round(word.value * 10)
    if tenths < 0 or word.value != tenths / 10:
        return word.said
    return f"{word.letter}{tenths // 10}" + (f".{tenths % 10}" if tenths % 10 else "")
