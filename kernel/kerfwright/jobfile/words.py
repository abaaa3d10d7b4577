"""How faults are worded: what was found, what is allowed, the nearest known word."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

import attrs

from kerfwright.fields import Spec, spec
from kerfwright.jobfile.nodes import Mapped, Node, Scalar, Sequenced

__all__ = ["allowed", "nearest", "plain_number", "pointed", "shown", "word"]


_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


def shown(node: Node) -> str:
    """What stands there, in few words.

    >>> shown(Scalar(1, 1, "steel", False)), shown(Scalar(1, 1, "-1", False)), shown(Sequenced(1, 1, ()))
    ("'steel'", '-1', 'a list of 0')
    """
    if isinstance(node, Scalar):
        if node.empty:
            return "nothing"
        text = node.text if len(node.text) <= 60 else node.text[:57] + "..."
        bare = not node.quoted and (plain_number(text) or text in ("true", "false"))
        return text if bare else ascii(text) if not text.isprintable() else repr(text)
    if isinstance(node, Sequenced):
        return f"a list of {len(node.items)}"
    if isinstance(node, Mapped):
        return "a mapping" if node.pairs else "an empty mapping"
    return "nothing"


def word(text: str) -> str:
    """A key as it can stand in a message: short, in one line.

    >>> word("a\\nb")
    'a\\\\nb'
    """
    text = text if len(text) <= 60 else text[:57] + "..."
    return text if text.isprintable() else ascii(text)[1:-1]


def plain_number(text: str) -> bool:
    """It is a number in the sense of YAML, and no text."""
    return _NUMBER.fullmatch(text) is not None or text.lower() in (".inf", "-.inf", "+.inf", ".nan")


def allowed(what: Spec) -> str:
    """What a field takes, in words."""
    if what.kind == "nested":
        return f"a mapping of {', '.join(s.key or a.name for a in attrs.fields(what.of) if (s := spec(a)))}"
    if what.kind in ("listed", "strategy", "custom"):
        noun = {"listed": "a list: ", "strategy": "a name or a one-key mapping: "}
        return noun.get(what.kind, "") + what.help
    if what.kind == "point":
        return (
            f"a list of {what.of} numbers"
            + (f" above {what.above:g}" if what.above is not None else "")
            + " "
            + what.unit
        )
    return what.allowed()


def nearest(word: str, known: Iterable[str]) -> str:
    """`, did you mean X?` where a known word is close, else nothing.

    >>> nearest("thicknes", ["thickness", "size"])
    ', did you mean thickness?'
    """
    close = difflib.get_close_matches(word[:60], list(known), 1, 0.6)
    return f", did you mean {close[0]}?" if close else ""


def pointed(before: Node | None, key: str) -> str:
    """What to say of a key that is half of a number: in `{diameter: 2,5}` the comma ends the 2, and the 5 is a key."""
    half = before.text if isinstance(before, Scalar) and before.text.isdigit() and key.isdigit() else ""
    return f", did you mean {half}.{key}, with a decimal point?" if half else ""
