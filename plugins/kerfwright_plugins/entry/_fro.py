"""To and fro on a piece of a cut: what ramps on short cuts and zigzags have in common."""

from __future__ import annotations

import math

from kerfwright.curve import Curve

__all__ = ["SHORTEST", "angle_need", "to_and_fro"]

SHORTEST = 0.05
"""Length (mm) of cut below which a way down would only be a plunge in disguise."""


def angle_need(top: float, bottom: float, angle: float) -> float:
    """Length in plan (mm) of a way down at an angle (deg)."""
    return (top - bottom) / math.tan(math.radians(angle))


def to_and_fro(piece: Curve, need: float) -> Curve:
    """There and back as often as `need` asks, each time equally far, in the plane of the piece."""
    pairs = max(1, math.ceil(need / 2 / piece.length - 1e-9))
    piece = piece.between(0.0, min(piece.length, max(need / 2 / pairs, SHORTEST)))
    return Curve.join([piece, piece.reversed()] * pairs)
