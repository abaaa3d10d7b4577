"""A line of text into words, comment and line number: the grammar of a block, character by character."""

from __future__ import annotations

import re

from attrs import frozen

from kerfwright.errors import CannotRead

__all__ = ["AXES", "Block", "Word", "block"]

AXES = "XYZ"
LETTERS = frozenset("ABCDFGHIJKLMNPQRSTXYZ")
"""Letters that may begin a word."""
LARGEST = 1e9
"""Numbers from here on are refused; the document sets no bound."""

_WORD = re.compile(r"([A-Z])([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))?", re.ASCII | re.IGNORECASE)
_NOT_READ = {
    "#": "parameters are outside what is read",
    "[": "expressions are outside what is read",
    "]": "expressions are outside what is read",
    "=": "parameter settings are outside what is read",
    "/": "block delete is refused: whether the block is done would depend on a switch",
    ";": "a comment stands in parentheses",
    "%": "a percent sign stands alone on its line",
    ")": "a comment that ends must have begun",
}


@frozen
class Word:
    """A letter and its number. `said` is how it is spelled, without spaces and in capitals."""

    letter: str
    value: float
    said: str


@frozen
class Block:
    """The words of one line in order; its last comment, the only one that is used; its number, where it has one."""

    line: int
    words: tuple[Word, ...]
    comment: str | None
    number: int | None = None


def block(text: str, line: int, longest: int, digits: int = 5, capitals: bool = False) -> Block:
    """A line of text, without its end, as a block. Raises CannotRead."""
    if len(text) > longest:
        raise CannotRead(line, "", f"a block has at most {longest} characters, this one has {len(text)}")
    code, comment = _without_comments(text, line)
    small = next((c for c in code if c.islower()), None) if capitals else None
    if small:
        raise CannotRead(line, _shown(small), "words have capital letters only")
    words, number = _words("".join(code.replace("\t", " ").split(" ")), line, digits)
    return Block(line, words, comment, number)


def _without_comments(text: str, line: int) -> tuple[str, str | None]:
    code, comment, rest = "", None, text
    while "(" in rest:
        before, _, rest = rest.partition("(")
        comment, closed, rest = rest.partition(")")
        if not closed:
            raise CannotRead(line, f"({_shown(comment)}", "a comment must be closed on its line")
        if "(" in comment:
            raise CannotRead(line, f"({_shown(comment)})", "comments may not be nested")
        odd = next((c for c in comment if not (c.isprintable() or c == "\t")), None)
        if odd is not None:
            raise CannotRead(line, _shown(odd), "a comment holds printable characters only")
        code += before + "("
    return code + rest, comment


def _words(code: str, line: int, digits: int) -> tuple[tuple[Word, ...], int | None]:
    """The words of a line that has no spaces any more, and of each comment only its `(`, for it may not stand inside a word."""
    words: list[Word] = []
    stated: int | None = None
    place = 0
    while place < len(code):
        here = code[place]
        if here == "(":
            place += 1
            continue
        match = _WORD.match(code, place)
        if match is None:
            raise CannotRead(line, _shown(here), _NOT_READ.get(here, _strange(here)))
        letter, number = match[1].upper(), match[2]
        if letter not in LETTERS:
            raise CannotRead(line, letter, "no word begins with this letter")
        if number is None:
            after = code[place + 1 : place + 2]
            raise CannotRead(line, letter + _shown(after), _NOT_READ.get(after, "a word is a letter and a number"))
        said = letter + number
        if letter == "N":
            if place or not re.fullmatch(rf"[0-9]{{1,{digits}}}", number):
                count = {5: "five", 7: "seven"}.get(digits, str(digits))
                raise CannotRead(line, said, f"a line number stands first and has one to {count} digits")
            stated = int(number)
        else:
            value = float(number)
            if not abs(value) < LARGEST:
                raise CannotRead(line, said, "a number of this size is refused")
            words.append(Word(letter, value, said))
        place += len(said)
    return tuple(words), stated


def _strange(character: str) -> str:
    return "a number follows a letter" if character in "+-.0123456789" else "this character has no meaning here"


def _shown(text: str) -> str:
    """As much of a text as fits a message, harmless on any terminal."""
    plain = text if text.isascii() and text.isprintable() else ascii(text)[1:-1]
    return plain if len(plain) <= 40 else plain[:37] + "..."
