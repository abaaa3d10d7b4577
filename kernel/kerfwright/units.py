"""Quantities: a number with a unit, as a shop writes it, to the program's own units (mm, mm/min, deg, s, rpm)."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

__all__ = ["INCH", "UNITS", "pattern", "quantity", "unit_words"]

INCH = 25.4
"""mm in an inch, exact since 1959."""

UNITS: dict[str, tuple[str, float]] = {
    "mm": ("mm", 1.0), "cm": ("mm", 10.0), "m": ("mm", 1000.0), "um": ("mm", 0.001), "µm": ("mm", 0.001),
    "in": ("mm", INCH), "inch": ("mm", INCH), "ft": ("mm", 12 * INCH),
    "mm/min": ("mm/min", 1.0), "m/min": ("mm/min", 1000.0), "mm/s": ("mm/min", 60.0),
    "in/min": ("mm/min", INCH), "inch/min": ("mm/min", INCH), "in/s": ("mm/min", 60 * INCH),
    "rpm": ("rpm", 1.0), "1/min": ("rpm", 1.0), "1/s": ("rpm", 60.0),
    "deg": ("deg", 1.0), "°": ("deg", 1.0), "rad": ("deg", 180 / math.pi),
    "s": ("s", 1.0), "ms": ("s", 0.001), "min": ("s", 60.0), "h": ("s", 3600.0),
    "W": ("W", 1.0), "kW": ("W", 1000.0),
    "mm/s2": ("mm/s2", 1.0), "m/s2": ("mm/s2", 1000.0), "in/s2": ("mm/s2", INCH),
    "N/mm": ("N/mm", 1.0), "N/mm2": ("N/mm2", 1.0), "MPa": ("N/mm2", 1.0), "kPa": ("kPa", 1.0), "%": ("1", 0.01),
}  # fmt: skip
"""Unit word -> the program's unit of that quantity, and the factor."""

_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_FORM = re.compile(
    rf"\s*(?P<a>{_NUMBER})(?:(?P<mixed>\s+[0-9]+)?\s*/\s*(?P<b>[0-9]+))?\s*(?P<unit>1/\w+|[^\d\s].*?)?\s*"
)


def quantity(text: str) -> tuple[float, str]:
    """Value in the program's unit, and that unit ('' for a bare number).

    Raises ValueError with what is allowed.

    >>> quantity("1/8 in")
    (3.175, 'mm')
    >>> quantity("1 1/4 in")
    (31.75, 'mm')
    >>> quantity("12 m/min")
    (12000.0, 'mm/min')
    """
    m = _FORM.fullmatch(text)
    if m is None:
        raise ValueError(f"found {text!r}, allowed: a number and a unit, as '3.2 mm' or '1/8 in'")
    value = float(m["a"])
    if m["b"]:
        if float(m["b"]) == 0:
            raise ValueError(f"found {text!r}: a fraction over zero")
        if m["mixed"]:
            if not m["a"].lstrip("+-").isdigit():
                raise ValueError(f"found {text!r}, allowed: a whole number before a fraction, as '1 1/4 in'")
            value += math.copysign(float(m["mixed"]) / float(m["b"]), -1 if m["a"].startswith("-") else 1)
        else:
            value /= float(m["b"])
    if not m["unit"]:
        return value, ""
    if m["unit"] not in UNITS:
        raise ValueError(f"found the unit {m['unit']!r}, allowed: {', '.join(UNITS)}")
    unit, factor = UNITS[m["unit"]]
    return value * factor, unit


def unit_words(unit: str) -> list[str]:
    """The words that a text may use for one of the program's units; none for a number without a unit.

    >>> unit_words("deg")
    ['deg', '°', 'rad']
    """
    return [word for word, (one, _) in UNITS.items() if one == unit]


def pattern(words: Iterable[str], signed: bool = True) -> str:
    """A regular expression, in what Python and ECMA-262 share, of the texts that are a quantity in one of these unit words.

    >>> bool(re.search(pattern(["mm", "in"]), "1 1/4 in")), bool(re.search(pattern(["mm"]), "3 deg"))
    (True, False)
    """
    sign, number = "[+-]?" if signed else "[+]?", _NUMBER.removeprefix("[+-]?")
    mixed = rf"{sign}[0-9]+\s+[0-9]+\s*/\s*0*[1-9][0-9]*"
    plain = rf"{sign}{number}(?:\s*/\s*0*[1-9][0-9]*)?"
    each = [rf"\s{'+' if word[0].isdigit() else '*'}{word}" for word in sorted(words, key=len, reverse=True)]
    unit = f"(?:{'|'.join(each)})?" if each else ""
    return rf"^\s*(?![+-]?0[0-9])(?:{mixed}|{plain}){unit}\s*$"
