"""What commands ask by name or by size: materials, machines and cutters of the tables, lengths."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile.words import nearest
from kerfwright.units import quantity

__all__ = ["cutter_of", "length", "named"]

T = TypeVar("T")
FLUTES_LONG = 4.0
"""Flute length of a cutter of which only the diameter is said, in diameters (from memory)."""


def named(what: str, name: str, things: Mapping[str, T]) -> T:
    """The thing of a table that `--what` names. Raises InputError with all names."""
    if name not in things:
        raise InputError(
            [Fault(f"--{what}", f"found {name!r}, allowed: {', '.join(sorted(things))}{nearest(name, things)}")]
        )
    return things[name]


def length(key: str, text: str, most: float = 50) -> float:
    """A length in mm, with or without its unit. Raises InputError."""
    try:
        value, unit = quantity(text)
    except ValueError as e:
        raise InputError([Fault(key, str(e))]) from None
    if unit not in ("", "mm") or not 0 < value <= most:
        raise InputError([Fault(key, f"found {text!r}, allowed: a length above 0 and at most {most:g} mm")])
    return value


def cutter_of(
    text: str, things: Mapping[str, Cutter], flutes: str, teeth: int, flute_length: float | None = None
) -> Cutter:
    """A cutter of the tables by its name, or an end mill by its diameter. Raises InputError."""
    if text in things or not text[:1].isdigit():
        return named("cutter", text, things)
    diameter = length("--cutter", text)
    long = FLUTES_LONG * diameter if flute_length is None else flute_length
    return Cutter(name="cutter", form="end_mill", flutes=flutes, diameter=diameter, teeth=teeth, flute_length=long)
