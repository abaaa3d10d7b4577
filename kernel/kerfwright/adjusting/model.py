"""What errors of cutter and machine do to a size, to first order.

A path is told at the cutter's diameter D. Where the cutter really cuts D + d, every wall lies d/2 deeper: an outside size comes
out smaller by d, an inside size larger by d, a distance of centers the same. The cutter's center moves L = nominal + D for
an outside size, nominal - D for an inside one (0 for a hole of the cutter's own diameter), nominal between centers.
A machine that moves (1 + a) x + g y and (1 + b) y where x and y are told stretches a length in direction t by
L (a cos²t + b sin²t + g sin t cos t), whether between two points or square between two walls. g is the angle by which
X and Y are less than square, in rad. Turning the whole changes no size, so that nothing else is to be told. Source: geometry.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from kerfwright.adjusting.measured import Measured

__all__ = ["SCALE_X", "SCALE_Y", "SQUARE", "Array", "Parameter", "design", "parameters"]

Array: TypeAlias = NDArray[np.float64]
SCALE_X, SCALE_Y, SQUARE = "scale_x", "scale_y", "square"


@frozen
class Parameter:
    """One thing to be told: `key` for programs, `name` for people, what would tell it, and the cutter that it is of."""

    key: str
    name: str
    tells: str
    cutter: str | None = None


def parameters(sizes: Sequence[Measured]) -> tuple[Parameter, ...]:
    """Each cutter that made a wall here, both axes, and squareness, in this order."""
    cutters = dict.fromkeys(s.cutter for s in sizes if s.kind != "centers" and s.cutter is not None)
    of = [
        Parameter(f"diameter:{c}", f"diameter of {c}", f"an outside and an inside size cut by {c}", c) for c in cutters
    ]
    axes = [
        Parameter(key, f"scale of {axis}", f"a distance of centers along {axis}, as long as may be")
        for key, axis in ((SCALE_X, "X"), (SCALE_Y, "Y"))
    ]
    return (*of, *axes, Parameter(SQUARE, "squareness", "distances of centers along both diagonals"))


def design(sizes: Sequence[Measured], diameters: Mapping[str, float]) -> Array:
    """How much each size (rows) changes with each of `parameters(sizes)` (columns): mm per mm, per unit, per rad.

    `diameters` are those the paths were told at (mm); a cutter that is not among them counts as 0.
    """
    side = np.array([{"outside": -1.0, "inside": 1.0, "centers": 0.0}[s.kind] for s in sizes])
    told = np.array([diameters.get(s.cutter, 0.0) if s.cutter else 0.0 for s in sizes])
    moved = np.array([s.nominal for s in sizes]) - side * told
    angle = np.radians([s.along for s in sizes])
    sine, cosine = np.sin(angle), np.cos(angle)
    sine[np.abs(sine) < 1e-12] = 0.0
    cosine[np.abs(cosine) < 1e-12] = 0.0
    own = [side * np.array([s.cutter == p.cutter for s in sizes]) for p in parameters(sizes) if p.cutter is not None]
    return np.column_stack([*own, moved * cosine**2, moved * sine**2, moved * sine * cosine])
