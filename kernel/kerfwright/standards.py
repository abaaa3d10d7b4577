"""Limits of sizes from standards: ISO 2768-1 general tolerances, ISO 286 holes, ISO 273 clearance holes.

All values are from memory, without the pages at hand; tests/outside compares them with formulas and worked examples.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["CLEARANCE", "GENERAL", "HOLES", "SERIES", "clearance_hole", "general", "hole_limits", "standard_tolerance"]

_UP_TO = (3, 6, 30, 120, 400, 1000)
GENERAL: Mapping[str, tuple[float, ...]] = MappingProxyType({
    "f": (0.05, 0.05, 0.1, 0.15, 0.2, 0.3),
    "m": (0.1, 0.1, 0.2, 0.3, 0.5, 0.8),
    "c": (0.2, 0.3, 0.5, 0.8, 1.2, 2.0),
    "v": (0.0, 0.5, 1.0, 1.5, 2.5, 4.0),
})  # fmt: skip
"""ISO 2768-1, linear sizes over 0.5 up to 3, 6, 30, 120, 400, 1000 mm: plus and minus mm. Class v begins above 3 mm."""
_SIZES = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250)
_GRADES: Mapping[int, tuple[int, ...]] = MappingProxyType({
    6: (6, 8, 9, 11, 13, 16, 19, 22, 25, 29),
    7: (10, 12, 15, 18, 21, 25, 30, 35, 40, 46),
    8: (14, 18, 22, 27, 33, 39, 46, 54, 63, 72),
    9: (25, 30, 36, 43, 52, 62, 74, 87, 100, 115),
    10: (40, 48, 58, 70, 84, 100, 120, 140, 160, 185),
    11: (60, 75, 90, 110, 130, 160, 190, 220, 250, 290),
    12: (100, 120, 150, 180, 210, 250, 300, 350, 400, 460),
})  # fmt: skip
"""ISO 286-1: standard tolerances in um, by grade, for sizes up to those of `_SIZES`."""
HOLES = tuple(f"H{grade}" for grade in _GRADES)
"""Classes of holes whose lower limit is the nominal size."""
CLEARANCE: Mapping[str, tuple[float, float, float]] = MappingProxyType({
    "M2": (2.2, 2.4, 2.6), "M2.5": (2.7, 2.9, 3.1), "M3": (3.2, 3.4, 3.6), "M4": (4.3, 4.5, 4.8), "M5": (5.3, 5.5, 5.8),
    "M6": (6.4, 6.6, 7.0), "M8": (8.4, 9.0, 10.0),
})  # fmt: skip
"""ISO 273: clearance holes (mm) fine, medium, coarse."""
SERIES = ("fine", "medium", "coarse")
"""Columns of `CLEARANCE`."""


def general(size: float, grade: str) -> float:
    """General tolerance, plus and minus (mm). Raises ValueError where the standard has none.

    >>> general(25, "m")
    0.2
    """
    if grade not in GENERAL:
        raise ValueError(f"found {grade!r}, allowed: {', '.join(GENERAL)}")
    if not 0.5 <= size <= _UP_TO[-1] or (grade == "v" and size <= _UP_TO[0]):
        raise ValueError(f"found {size:g} mm, allowed: {'above 3' if grade == 'v' else '0.5'} to {_UP_TO[-1]} mm")
    return GENERAL[grade][next(k for k, most in enumerate(_UP_TO) if size <= most)]


def standard_tolerance(size: float, grade: int) -> float:
    """Width of a standard tolerance (mm). Raises ValueError where the table ends."""
    if grade not in _GRADES:
        raise ValueError(f"found IT{grade}, allowed: IT{min(_GRADES)} to IT{max(_GRADES)}")
    if not 0 < size <= _SIZES[-1]:
        raise ValueError(f"found {size:g} mm, allowed: above 0 and at most {_SIZES[-1]} mm")
    return _GRADES[grade][next(k for k, most in enumerate(_SIZES) if size <= most)] / 1000


def hole_limits(size: float, grade: int) -> tuple[float, float]:
    """Lower and upper limit of an H hole, counted from its nominal size (mm).

    >>> hole_limits(5, 7)
    (0.0, 0.012)
    """
    return 0.0, standard_tolerance(size, grade)


def clearance_hole(thread: str, series: str) -> float:
    """Diameter (mm) of a clearance hole; `series` is fine, medium or coarse. Raises ValueError.

    >>> clearance_hole("M3", "medium")
    3.4
    """
    if thread not in CLEARANCE:
        raise ValueError(f"found {thread!r}, allowed: {', '.join(CLEARANCE)}")
    if series not in SERIES:
        raise ValueError(f"found {series!r}, allowed: {', '.join(SERIES)}")
    return CLEARANCE[thread][SERIES.index(series)]
