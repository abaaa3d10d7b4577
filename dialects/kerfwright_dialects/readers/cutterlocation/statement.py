"""One line as a statement: its major word and what belongs to it, or the text that it carries."""

from __future__ import annotations

import re

from attrs import frozen

from kerfwright.errors import CannotRead

__all__ = ["Statement", "statement"]

_TEXT = re.compile(r"[ \t]*(PARTNO|PPRINT)(?:[ \t]+(.*?))?[ \t]*$")
_WORDS = re.compile(r"[ \t]*([A-Z][A-Z0-9]*)[ \t]*(?:/(.*))?$")
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")
_ODD = re.compile(r"[^\t\x20-\x7e]")


@frozen
class Statement:
    """`args`: minor words and numbers behind the slash; `text`: what PARTNO and PPRINT carry."""

    line: int
    word: str
    args: tuple[str, ...] = ()
    text: str = ""

    def fault(self, rule: str) -> CannotRead:
        """What is wrong with it."""
        return CannotRead(self.line, "/".join(v for v in (self.word, ",".join(self.args)) if v), rule)

    def plain(self) -> None:
        """Nothing follows its word."""
        if self.args:
            raise self.fault(f"nothing follows {self.word}")

    def one_of(self, *words: str) -> str:
        """The one minor word that it has."""
        if len(self.args) != 1 or self.args[0] not in words:
            raise self.fault(f"{self.word} is followed by {' or '.join(words)}")
        return self.args[0]

    def numbers(self, count: int, what: str, skip: int = 0) -> list[float]:
        """So many numbers from the argument `skip` on, and nothing else."""
        some = self.args[skip:]
        if len(some) != count or not all(_NUMBER.fullmatch(v) for v in some):
            raise self.fault(f"{self.word} is followed by {what}")
        return [float(v) for v in some]


def statement(text: str, line: int, longest: int) -> Statement | None:
    """None for an empty line. Raises CannotRead."""
    if not text.strip(" \t"):
        return None
    if len(text) > longest:
        raise CannotRead(line, "", f"a line has at most {longest} characters, and this has {len(text)}")
    if odd := _ODD.search(text):
        raise CannotRead(line, ascii(odd[0])[1:-1], "a text has printable characters of ASCII only")
    if match := _TEXT.fullmatch(text):
        return Statement(line, match[1], text=match[2] or "")
    match = _WORDS.fullmatch(text)
    if match is None:
        raise CannotRead(
            line,
            text.split(maxsplit=1)[0][:20],
            "a statement is a major word in capital letters, a slash, and what follows it",
        )
    rest = match[2]
    args = () if rest is None else tuple(v.strip(" \t") for v in rest.split(","))
    if "" in args:
        raise CannotRead(line, match[1], "between slash, commas and the end of a line stand words or numbers")
    return Statement(line, match[1], args)
