"""Values as a job file says them."""

from __future__ import annotations

import inspect
import re
from collections.abc import Mapping
from typing import Any

import attrs

from kerfwright import fields
from kerfwright.selection import Selection
from kerfwright.units import UNITS

__all__ = ["as_said", "default", "sentence", "summary", "unit_of"]


def as_said(value: object, unit: str = "", *, with_units: bool = False) -> Any:
    """A value of a field as JSON and YAML have it; None for what has no such form, or is not given.

    `with_units`: a number other than 0 is a text with its unit, so that it means the same in a job in inch.

    >>> as_said(3.0, "deg"), as_said((0.5, 2.0), "mm", with_units=True)
    (3, ['0.5 mm', '2 mm'])
    """
    if isinstance(value, bool | str) or value is None:
        return value
    if isinstance(value, int | float):
        plain = int(value) if float(value).is_integer() else float(value)
        return f"{plain!r} {unit}" if with_units and plain and unit in UNITS else plain
    if isinstance(value, tuple | list):
        return [as_said(one, unit, with_units=with_units) for one in value]
    if isinstance(value, Selection):
        return value.text
    if isinstance(value, Mapping):
        return {str(key): as_said(one, unit, with_units=with_units) for key, one in value.items()}
    cls: Any = type(value)
    if attrs.has(cls):
        said = {
            what.key or a.name: as_said(getattr(value, a.name), unit_of(what), with_units=with_units)
            for a in attrs.fields(cls)
            if (what := fields.spec(a))
        }
        return {key: one for key, one in said.items() if one is not None}
    return None


def summary(thing: object) -> str:
    """The first sentence of a docstring, on one line.

    >>> summary(summary)
    'The first sentence of a docstring, on one line.'
    """
    return sentence(" ".join((inspect.getdoc(thing) or "").split("\n\n")[0].split()))


def sentence(text: str) -> str:
    """The first sentence of a text.

    >>> sentence("Holes, e.g. of 3.2 mm. Nothing else.")
    'Holes, e.g. of 3.2 mm.'
    """
    return re.split(r"(?<=[a-z0-9)`]\.) (?=[A-Z`])", text, maxsplit=1)[0]


def unit_of(what: fields.Spec) -> str:
    """The unit of a field; of one with a reader of its own what its argument says."""
    if what.kind != "custom":
        return what.unit
    argument: str = what.of.partition(":")[2]
    return argument if argument in UNITS else ""


def default(attribute: attrs.Attribute[Any]) -> object:
    """A field's default; None where it has none, where that is nothing (no text, no list), and where it follows from other fields."""
    found: Any = attribute.default
    if isinstance(found, attrs.Factory):  # type: ignore[arg-type]
        return None if found.takes_self else found.factory()
    what = fields.spec(attribute)
    unsaid = found == () or (what is not None and what.kind == "text" and found == "")
    return None if found is attrs.NOTHING or unsaid else found
