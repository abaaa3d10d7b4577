"""Text to the operator, made safe for a comment between parentheses."""

from __future__ import annotations

import re
import textwrap
import unicodedata

__all__ = ["remarks"]

_SAID = {
    "ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue", "ß": "ss", "ø": "oe", "Ø": "Oe", "æ": "ae", "Æ": "Ae",
    "×": " x ", "°": " deg", "±": "+-", "µ": "u", "μ": "u", "–": "-", "—": "-", "−": "-", "…": "...", "’": "'", "‘": "'",
    "⌀": "D", "]": " ", "}": " ", ")": " ", ";": ",", "%": " percent",
}  # fmt: skip
"""A word-address text is ASCII; brackets, `;` and `%` mean something of their own in one language or another."""


def remarks(text: str, width: int) -> list[str]:
    """The text in lines of at most `width` characters that any word-address language leaves alone in a comment.

    Letters outside ASCII are spelled out, a diameter sign before a number becomes D, a bracket that opens becomes a
    comma. A comma after the first word goes, because RS274/NGC takes `MSG,` at the beginning for an order. No line is empty.

    >>> remarks("8 × Ø3.2 (Löcher)", 80)
    ['8 x D3.2, Loecher']
    >>> remarks("msg, stop", 80)
    ['msg stop']
    """
    text = re.sub(r"[Øø⌀](?=\s*\d)", "D", unicodedata.normalize("NFC", text))
    text = "".join(_SAID.get(c, c) for c in re.sub(r"\s*[(\[{]\s*", ", ", text))
    text = unicodedata.normalize("NFKD", text).replace("\N{FRACTION SLASH}", "/")
    text = "".join(c for c in text if not unicodedata.combining(c))
    text = " ".join(re.sub(r"[^A-Za-z0-9 .,:?!+\-/='_#]", " ", text).split())
    text = re.sub(r"[ ,]*,[ ,]*", ", ", text).strip(" ,")
    lines = textwrap.wrap(text, width, break_on_hyphens=False)
    return [re.sub(r"^(\W*\w*)\s*,\s*", r"\1 ", line).strip() for line in lines if re.search(r"\w", line)]
