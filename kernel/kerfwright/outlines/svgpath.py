"""The path grammar of SVG 1.1 (section 8.3) as curves: every command, through `svgelements`, after a strict look."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
from svgelements import Arc, Close, CubicBezier, Line, Move, Path, QuadraticBezier

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.outlines.bends import bezier, ellipse

__all__ = ["AS_IS", "path_curves"]

AS_IS: Floats = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
"""The transform that changes nothing: rows of a 2 x 3 matrix."""

_GAP = r"[\s,]*+"
_N = rf"(?>[+-]?(?:\d++(?:\.\d*+)?|\.\d++)(?:[eE][+-]?\d++)?){_GAP}"
_ARGUMENTS = {
    "Mm": f"(?:{_N}{_N})++", "Ll": f"(?:{_N}{_N})++", "Tt": f"(?:{_N}{_N})++", "Hh": f"(?:{_N})++", "Vv": f"(?:{_N})++",
    "Cc": f"(?:{_N * 6})++", "SsQq": f"(?:{_N * 4})++", "Aa": f"(?:{_N * 3}[01]{_GAP}[01]{_GAP}{_N}{_N})++", "Zz": "",
}  # fmt: skip
_COMMAND = re.compile("|".join(f"[{letters}]{_GAP}{args}" for letters, args in _ARGUMENTS.items()))


def _look(text: str) -> None:
    """`svgelements` forgives; what is cut may not be guessed."""
    at = len(text) - len(text.lstrip())
    if at < len(text) and text[at] not in "Mm":
        raise ValueError(f"found {text[at : at + 12]!r} at the start of the path, allowed: M")
    while at < len(text):
        found = _COMMAND.match(text, at)
        if found is None:
            raise ValueError(
                f"found {text[at : at + 20]!r} at character {at + 1}, allowed: a command of the SVG path grammar with its "
                "numbers"
            )
        at = found.end()


def _piece(one: Any, m: Floats) -> Curve:
    def put(*points: Any) -> Floats:
        p = np.array([[q.x, q.y] for q in points], float)
        if not np.isfinite(p).all():
            raise ValueError("a coordinate is not a finite number")
        out: Floats = p @ m[:, :2].T + m[:, 2]
        return out

    if isinstance(one, (CubicBezier, QuadraticBezier)):
        controls = (one.control1, one.control2) if isinstance(one, CubicBezier) else (one.control,)
        return bezier(put(one.start, *controls, one.end))
    if isinstance(one, Arc) and one.sweep and one.rx and one.ry:
        center, x, y = put(one.center, one.prx, one.pry)
        c = ellipse(center, x - center, y - center, float(one.get_start_t()), float(one.sweep))
        nodes = c.nodes.copy()
        nodes[[0, -1], :2] = put(one.start, one.end)
        return Curve(nodes, c.turns)
    return Curve.line(put(one.start, one.end))


def path_curves(text: str, matrix: Floats = AS_IS) -> list[Curve]:
    """One Curve for each subpath, seen through `matrix` (2, 3); closed by `Z` or because it ends where it starts.

    Raises ValueError with the character where `text` leaves the grammar.

    >>> [c.signed_area for c in path_curves("M0 0 H10 v10 h-10 Z")]
    [100.0]
    """
    _look(text)
    runs: list[list[Curve]] = []
    fresh = True
    for one in Path(text):
        if isinstance(one, Move):
            fresh = True
            continue
        if fresh:
            runs.append([])
        if not isinstance(one, (Line, Close, Arc, CubicBezier, QuadraticBezier)):
            raise ValueError(f"found a path command that is not known: {type(one).__name__}")
        if one.start != one.end:
            runs[-1].append(_piece(one, matrix))
        fresh = isinstance(one, Close)
    return [Curve.join(r) for r in runs if r]
