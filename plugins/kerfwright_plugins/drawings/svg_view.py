"""Lengths, viewports and transforms of SVG 1.1 (sections 7 and 4.2), as 3 x 3 matrices that take columns (x, y, 1)."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
from svgelements import Matrix

from kerfwright.arrays import Floats

__all__ = ["PX", "fit", "length", "numbers", "shift", "transform"]

PX = 25.4 / 96
"""mm of a px: 96 to the inch (CSS Values and Units)."""

UNITS: Mapping[str, float] = MappingProxyType(
    {"": 1.0, "px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 24 / 25.4, "pt": 96 / 72, "pc": 16.0}
)
"""Units of a length -> px."""

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*([a-zA-Z]*|%)\s*")
_TRANSFORM = re.compile(
    rf"(?:[\s,]*(?:matrix|translate|scale|rotate|skewX|skewY)\s*\(\s*{_NUMBER}(?:[\s,]*{_NUMBER})*+\s*\))*[\s,]*"
)
_TAKES = {"matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,), "skewY": (1,)}


def length(text: str, whole: float | None = None) -> float:
    """px of a length; a percentage is of `whole`. Raises ValueError with what is allowed.

    >>> round(length("25.4mm"), 9)
    96.0
    """
    found = _LENGTH.fullmatch(text)
    unit = found[2].lower() if found else None
    if found is None or (unit not in UNITS and (unit != "%" or whole is None)):
        raise ValueError(f"found {text!r}, allowed: a number with px, mm, cm, in, pt, pc, Q or none")
    value = float(found[1]) * (whole / 100 if unit == "%" and whole is not None else UNITS.get(str(unit), 1.0))
    if not math.isfinite(value):
        raise ValueError(f"found {text!r}, allowed: a finite number")
    return value


def numbers(text: str) -> list[float]:
    """A list of numbers parted by spaces or commas."""
    if not re.fullmatch(rf"[\s,]*(?:{_NUMBER}[\s,]*+)*+", text):
        raise ValueError(f"found {text[:40]!r}, allowed: numbers")
    return [float(v) for v in re.findall(_NUMBER, text)]


def shift(x: float, y: float) -> Floats:
    """Translation."""
    return np.array([[1, 0, x], [0, 1, y], [0, 0, 1]], float)


def transform(text: str) -> Floats:
    """The matrix of a `transform` attribute."""
    wrong = ValueError(f"transform: found {text[:60]!r}, allowed: matrix, translate, scale, rotate, skewX, skewY")
    if not _TRANSFORM.fullmatch(text):
        raise wrong
    for name, arguments in re.findall(r"(\w+)\s*\(([^)]*)\)", text):
        if len(numbers(arguments)) not in _TAKES[name]:
            raise wrong
    m = Matrix(text)
    return np.array([[m.a, m.c, m.e], [m.b, m.d, m.f], [0, 0, 1]], float)


def fit(box: list[float], width: float, height: float, aspect: str) -> Floats:
    """From the units of a viewBox to px of its viewport, by `preserveAspectRatio` (SVG 1.1, 7.8)."""
    x, y, w, h = box
    sx, sy = width / w, height / h
    words = aspect.replace("defer", "").split() or ["xMidYMid"]
    align = re.fullmatch(r"x(Min|Mid|Max)Y(Min|Mid|Max)", words[0])
    if words[0] == "none":
        return np.diag([sx, sy, 1.0]) @ shift(-x, -y)
    if align is None or words[1:] not in ([], ["meet"], ["slice"]):
        raise ValueError(f"preserveAspectRatio: found {aspect!r}, allowed: none, or as xMidYMid meet")
    s = max(sx, sy) if words[1:] == ["slice"] else min(sx, sy)
    part = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    rest = shift((width - s * w) * part[align[1]], (height - s * h) * part[align[2]])
    out: Floats = rest @ np.diag([s, s, 1.0]) @ shift(-x, -y)
    return out
