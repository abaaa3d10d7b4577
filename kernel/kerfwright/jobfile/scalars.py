"""Single values: numbers with units, whole numbers, texts, words. Plain numbers are in the units of the file."""

from __future__ import annotations

import math
import re

from kerfwright.fields import Spec
from kerfwright.jobfile.nodes import Node, Scalar
from kerfwright.jobfile.words import allowed, nearest, plain_number, shown
from kerfwright.units import INCH, quantity, unit_words

__all__ = ["LENGTHS", "LIKE", "LONGEST", "TEXT", "flag", "number", "text", "whole", "word"]

LENGTHS = ("mm", "mm/min", "mm/s2")
"""Units inside the program that a file in inch gives in inch, inch a minute, inch a second squared."""

LIKE = {"m": ("mm", 1000.0), "min": ("s", 60.0)}
"""Units of few fields: the unit that `quantity` gives them in, and how many of that one is."""

TEXT = 200
"""Most characters of a text that names something."""

LONGEST = 40
"""Most characters of a number with its unit."""


def number(node: Node, what: Spec, units: str) -> float:
    """A number in the program's unit. Raises ValueError with what was found and is allowed."""
    wrong = f"found {shown(node)}, allowed: {allowed(what)}"
    if not isinstance(node, Scalar) or node.empty or len(node.text) > LONGEST:
        raise ValueError(wrong)
    if re.fullmatch(r"\s*[+-]?0\d+(\.\d*)?.*", node.text):
        raise ValueError(f"found {shown(node)}, allowed: {allowed(what)}, without leading zeros")
    inside, factor = LIKE.get(what.unit, (what.unit, 1.0))
    try:
        value, unit = quantity(node.text)
    except ValueError as e:
        raise ValueError(f"{wrong}{_words(inside)}" if "the unit" in str(e) else wrong) from None
    inch = not unit and units == "inch" and what.unit in LENGTHS
    if inch:
        value *= INCH
    elif unit and unit != inside:
        raise ValueError(f"{wrong}{_words(inside)}")
    else:
        value /= factor if unit else 1.0
    if what.fault(value):
        bare = not (inch or unit) or node.text.strip().endswith(f" {what.unit}") or not math.isfinite(value)
        meant = "" if bare else f" ({value:.6g} {what.unit})".replace(" 1)", ")")
        raise ValueError(f"found {shown(node)}{meant}, allowed: {allowed(what)}")
    return value


def _words(unit: str) -> str:
    """The unit words of one quantity, to end a sentence.

    >>> _words("deg"), _words("money")
    (', in deg, °, rad', ', without a unit')
    """
    words = unit_words(unit) if unit != "1" else []
    return f", in {', '.join(words)}" if words else ", without a unit"


def whole(node: Node, what: Spec) -> int:
    """A whole number: 2, and 2.0 too. Raises ValueError."""
    ok = isinstance(node, Scalar) and not node.quoted and len(node.text) <= 20 and plain_number(node.text)
    if not ok or not isinstance(node, Scalar) or re.match(r"[+-]?0\d", node.text) or what.fault(float(node.text)):
        raise ValueError(f"found {shown(node)}, allowed: {allowed(what)}")
    return int(float(node.text))


def flag(node: Node, what: Spec) -> bool:
    """true or false, and nothing that merely looks so. Raises ValueError."""
    if not isinstance(node, Scalar) or node.quoted or node.text not in ("true", "false"):
        raise ValueError(f"found {shown(node)}, allowed: {allowed(what)}")
    return node.text == "true"


def text(node: Node, what: Spec | None = None, *, most: int = TEXT, numbers: bool = False) -> str:
    """A printable text. `numbers`: what looks like a number is taken as written, as for a layer. Raises ValueError."""
    noun = allowed(what) if what else "a text"
    if not isinstance(node, Scalar) or node.empty or not node.text.strip():
        raise ValueError(f"found {shown(node)}, allowed: {noun}")
    if not node.quoted and not numbers and (plain_number(node.text) or node.text in ("true", "false")):
        raise ValueError(f"found {shown(node)}, allowed: {noun}, in quotes where it looks like a number or a truth")
    if len(node.text) > most:
        raise ValueError(f"found {len(node.text)} characters, allowed: {noun} of at most {most}")
    if not (node.text if most == TEXT else " ".join(node.text.split())).isprintable():
        raise ValueError(f"found {shown(node)}, allowed: {noun} of printable characters")
    return node.text


def word(node: Node, what: Spec) -> str:
    """One of a field's options. Raises ValueError."""
    value = node.text if isinstance(node, Scalar) else ""
    if value not in what.options:
        raise ValueError(f"found {shown(node)}, allowed: {allowed(what)}{nearest(value, what.options)}")
    return value
