"""The G and M codes of one block, by modal group."""

from __future__ import annotations

from kerfwright.errors import CannotRead
from kerfwright_dialects.readers.wordaddress.grammar import Grammar
from kerfwright_dialects.readers.wordaddress.words import Block, Word

__all__ = ["Codes", "codes"]

MOST_M = 4


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


def codes(block: Block, grammar: Grammar) -> Codes:
    """The words of a block by group and letter: each letter once, one word a modal group, at most four M words. Codes are kept by
    what they do: see `Grammar.means`.
    """
    out = Codes(block.line)
    count_m = 0
    for word in block.words:
        if word.letter not in "GM":
            if word.letter in out.words:
                raise CannotRead(block.line, word.said, f"a block has at most one {word.letter} word")
            out.words[word.letter] = word
            continue
        code = _name(word)
        group = grammar.groups.get(code)
        if group is None:
            raise CannotRead(block.line, word.said, f"this {word.letter} code is not in the document")
        count_m += word.letter == "M"
        if count_m > MOST_M:
            raise CannotRead(block.line, word.said, f"a block has at most {MOST_M} M words")
        if group in out.by_group:
            other = out.by_group[group]
            what = "nonmodal code" if group == "nonmodal" else f"word of the modal group {group}"
            raise CannotRead(block.line, word.said, f"a block has at most one {what}, and this has {other} already")
        if code in grammar.refused:
            raise CannotRead(block.line, word.said, grammar.refused[code])
        out.by_group[group] = grammar.means.get(code, code)
    return out


def _name(word: Word) -> str:
    """`G59.1` for any spelling of it; a number that is no code stays as it is spelled."""
    tenths = round(word.value * 10)
    if tenths < 0 or word.value != tenths / 10:
        return word.said
    return f"{word.letter}{tenths // 10}" + (f".{tenths % 10}" if tenths % 10 else "")
