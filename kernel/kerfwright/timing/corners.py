"""How fast a corner may be taken, when the path may leave it by a small deviation.

The corner is thought of as rounded by an arc tangent to both of its sides. With the turning angle t, an arc of radius r has its
center at r / cos(t/2) from the corner, on the bisector; so the arc leaves the corner by d = r / cos(t/2) - r, and

    r = d cos(t/2) / (1 - cos(t/2)),    v = sqrt(a r)

The arc touches each side at r tan(t/2) from the corner. Where that is more than half of a side the arc is the smaller one
that fits: chords of a circle are then run like the circle itself. Only the speed is taken from the arc; the way stays as long
as it is written.
"""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Bools, Floats
from kerfwright.machine import Acceleration
from kerfwright.timing.limits import limited
from kerfwright.timing.pieces import Pieces

__all__ = ["corner_speeds", "rounded"]

STRAIGHT = 1e-6
"""Sine of half a turning angle below which there is no corner."""


def rounded(deviation: float, half_sine: Floats, half_cosine: Floats) -> Floats:
    """Radius (mm) of the arc that leaves a corner by `deviation` (mm), from sine and cosine of half the turning angle.

    1 - cos is said as sin2 / (1 + cos), so that nothing is lost where the corner is flat. A turn back has radius 0.
    """
    with np.errstate(divide="ignore"):
        radius: Floats = deviation * half_cosine * (1 + half_cosine) / half_sine**2
    return radius


def corner_speeds(pieces: Pieces, acceleration: Acceleration, deviation: float) -> Floats:
    """Speeds (m-1,) in mm/s between each piece and the next; inf where the path is smooth, 0 where it turns back."""
    a, b = pieces.ends[:-1], pieces.starts[1:]
    sine, cosine = np.linalg.norm(b - a, axis=1) / 2, np.linalg.norm(a + b, axis=1) / 2
    smooth: Bools = sine < STRAIGHT
    runs = _run_lengths(pieces.lengths, smooth)
    with np.errstate(divide="ignore"):
        fitting = np.minimum(runs[:-1], runs[1:]) / 2 * cosine / sine
    radius = np.minimum(rounded(deviation, sine, cosine), fitting)
    speeds: Floats = np.sqrt(radius * _across_corners(a[:, 2], b[:, 2], sine, cosine, acceleration))
    return np.where(smooth, np.inf, speeds)


def _run_lengths(lengths: Floats, smooth: Bools) -> Floats:
    """Of each piece the length (mm) of all that it goes on in smoothly: a line stays one line where it is cut in two."""
    run = np.concatenate([[0], np.cumsum(~smooth)])[: len(lengths)]
    together: Floats = np.bincount(run, lengths)[run] if len(lengths) else lengths
    return together


def _across_corners(before: Floats, after: Floats, sine: Floats, cosine: Floats, acceleration: Acceleration) -> Floats:
    """Acceleration (mm/s2) towards the center that is allowed all along the rounding; `before`, `after`: Z of the unit vectors.

    At angle p from the middle, |p| <= t/2, the way to the center has the Z share |m cos p - q sin p|, with m that of the
    bisector and q that of the tangent in the middle. It is least and greatest at the ends, at its zero, or at its crest.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        m = np.nan_to_num(np.abs(after - before) / (2 * sine))
        q = np.nan_to_num(np.abs(after + before) / (2 * cosine), posinf=0.0)
    swing, rest = q * sine, m * cosine
    greatest = np.where(q * cosine <= m * sine, np.hypot(m, q), rest + swing)
    least = np.where(rest <= swing, 0.0, rest - swing)
    flat = np.sqrt(np.maximum(1 - np.minimum(least, 1.0) ** 2, 0.0))
    return limited(acceleration.xy, acceleration.z, flat, np.minimum(greatest, 1.0))
