"""Fragments of JSON Schema (draft 2020-12) for single values: what `scalars` takes, as an editor can be told it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, TypeAlias

from kerfwright.fields import Spec
from kerfwright.jobfile.scalars import LENGTHS, LIKE, LONGEST, TEXT
from kerfwright.jobfile.words import plain_number
from kerfwright.units import INCH, pattern, unit_words

__all__ = ["FILE", "Fragment", "choice", "file", "listed", "number", "numbers", "one_of_keys", "text", "whole"]

Fragment: TypeAlias = dict[str, Any]
"""A schema, as it stands in JSON."""

FILE = r"^(?![/~])(?!(?:.*/)?\.\.(?:/|$))[^\\:]*"
"""How the name of a file inside the job's folder begins."""


def number(what: Spec) -> Fragment:
    """A plain number in the job's units, or a text with a unit of its kind.

    Bounds are those in mm: a job in inch may have smaller numbers, so that lower bounds are eased for it, never upper ones.
    """
    words = unit_words(LIKE.get(what.unit, (what.unit, 1.0))[0])
    low = [v for v in (what.above, what.least) if v is not None]
    plain: Fragment = {"type": "number"} | _bounds(what, INCH if what.unit in LENGTHS else 1.0)
    said = {"type": "string", "maxLength": LONGEST, "pattern": pattern(words, signed=not low or min(low) < 0)}
    return {"anyOf": [plain, said]}


def _bounds(what: Spec, ease: float) -> Fragment:
    """Of plain numbers: positive lower bounds over `ease`."""
    found = {
        "exclusiveMinimum": what.above if what.above is None or what.above <= 0 else what.above / ease,
        "minimum": what.least if what.least is None or what.least <= 0 else what.least / ease,
        "exclusiveMaximum": what.below,
        "maximum": what.most,
    }
    return {key: value for key, value in found.items() if value is not None}


def whole(what: Spec) -> Fragment:
    """A whole number."""
    return {"type": "integer"} | _bounds(what, 1.0)


def text(most: int = TEXT, numbers: bool = False) -> Fragment:
    """A text. `numbers`: what looks like a number is taken as written, as for a layer."""
    kinds = ["string", "number", "boolean"] if numbers else "string"
    return {"type": kinds, "minLength": 1, "maxLength": most, "pattern": r"\S"}


def choice(options: Sequence[str]) -> Fragment:
    """One of a few words; one that a YAML reader takes for a number or a truth stands as that too."""
    taken = [json.loads(one) for one in options if one in ("true", "false") or (plain_number(one) and _strict(one))]
    return {"enum": [*options, *taken]}


def _strict(word: str) -> bool:
    try:
        json.loads(word)
    except ValueError:
        return False
    return True


def file(suffixes: Sequence[str]) -> Fragment:
    """The name of a file inside the job's folder, with one of these endings in capitals or not."""
    either = "|".join(
        "".join(f"[{c.lower()}{c.upper()}]" if c.isalpha() else f"[{c}]" for c in suffix) for suffix in suffixes
    )
    return {"type": "string", "maxLength": TEXT, "pattern": f"{FILE}(?:{either})$"}


def listed(each: Fragment, least: int = 0, most: int | None = None) -> Fragment:
    """A list of so many."""
    out: Fragment = {"type": "array", "items": each}
    return out | ({"minItems": least} if least else {}) | ({} if most is None else {"maxItems": most})


def numbers(what: Spec, count: int | None = None) -> Fragment:
    """A list of numbers of one unit."""
    return listed(number(what), count or 0, count)


def one_of_keys(properties: Fragment) -> Fragment:
    """Of these keys exactly one."""
    return {"properties": properties, "oneOf": [{"required": [key]} for key in properties]}
