"""Curves as SVG path data, arcs kept as arcs."""

from __future__ import annotations

import math

import numpy as np

from kerfwright.arrays import Bools
from kerfwright.curve import Curve

__all__ = ["number", "path_of", "path_where"]


def number(value: float) -> str:
    """At most three decimals, no trailing zeros, never -0.

    >>> number(-0.0001), number(2.50), number(1 / 3)
    ('0', '2.5', '0.333')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def path_of(curve: Curve) -> str:
    """The whole of a curve, in plan."""
    return path_where(curve, np.ones(len(curve), bool))


def path_where(curve: Curve, which: Bools) -> str:
    """The segments of a curve for which `which` holds, joined where they follow each other. Segments without length go."""
    n, turns, radii, lengths = curve.nodes, curve.turns, curve.radii, curve.lengths
    out: list[str] = []
    last = -2
    for k in np.flatnonzero(which & (np.nan_to_num(lengths) > 1e-6)).tolist():
        if k != last + 1:
            out.append(f"M{number(n[k, 0])} {number(n[k, 1])}")
        x, y = number(n[k + 1, 0]), number(n[k + 1, 1])
        if math.isinf(radii[k]):
            out.append(f"L{x} {y}")
        else:
            r, t = number(radii[k]), turns[k]
            out.append(f"A{r} {r} 0 {int(abs(t) > math.pi)} {int(t > 0)} {x} {y}")
        last = k
    return "".join(out)
