"""Ellipses and Bezier curves as a Curve: what is round stays an arc, everything else becomes chords within FLATNESS."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.curve import Curve

__all__ = ["FLATNESS", "MANY", "bezier", "ellipse"]

FLATNESS = 0.0005
"""Greatest distance (mm) of a chord from the curve it stands for."""

ROUND = 1e-4
"""Half axes that differ by less (mm) are those of a circle: a fifth of what flattening would cost."""

MANY = 100_000
"""Chords of one curve; more means a drawing in a wrong unit, and would only exhaust the memory."""


def _count(n: float) -> int:
    if not n <= MANY:
        raise ValueError(f"a curve would need more than {MANY} chords of {FLATNESS} mm: is its unit right?")
    return max(math.ceil(n - 1e-9), 1)


def ellipse(center: Any, u: Any, v: Any, start: float, sweep: float) -> Curve:
    """The points `center + u cos t + v sin t` (mm) from t = `start` over `sweep` (rad, signed).

    `u` and `v` are any two vectors, so that an arc seen through any transform is said the same way. Arcs of at most half
    a turn where `u` and `v` make a circle, else chords.

    >>> c = ellipse((0, 0), (5, 0), (0, 5), 0, 2 * math.pi)
    >>> len(c), round(c.length, 4)
    (2, 31.4159)
    """
    axes = np.array([u, v], float)
    if not np.isfinite(axes).all() or not np.isfinite(center).all():
        raise ValueError("a coordinate is not a finite number")
    great, small = np.linalg.svd(axes, compute_uv=False)
    round_ = bool(great - small <= ROUND)
    n = _count(abs(sweep) / math.pi if round_ else abs(sweep) * math.sqrt(great / (8 * FLATNESS)))
    t = start + np.linspace(0, 1, n + 1) * sweep
    p = np.asarray(center, float) + np.cos(t)[:, None] * axes[0] + np.sin(t)[:, None] * axes[1]
    if abs(abs(sweep) - 2 * math.pi) < 1e-12:
        p[-1] = p[0]
    turn = math.copysign(1.0, float(np.linalg.det(axes))) * sweep / n if round_ else 0.0
    return Curve(np.column_stack([p, np.zeros(len(p))]), np.full(n, turn))


def bezier(points: Any) -> Curve:
    """A quadratic or cubic Bezier curve by its three or four points (mm), as chords.

    A chord over a step h of the parameter lies within h^2/8 times the greatest second derivative.
    """
    p: Floats = np.asarray(points, float)
    if not np.isfinite(p).all():
        raise ValueError("a coordinate is not a finite number")
    degree = len(p) - 1
    bend = degree * (degree - 1) * float(np.hypot(*np.diff(p, n=2, axis=0).T).max())
    t = np.linspace(0, 1, _count(math.sqrt(bend / (8 * FLATNESS))) + 1)[:, None]
    q = np.broadcast_to(p, (len(t), *p.shape))
    for _ in range(degree):  # de Casteljau, every t at once
        q = q[:, :-1] + t[:, :, None] * np.diff(q, axis=1)
    ends = q[:, 0].copy()
    ends[0], ends[-1] = p[0], p[-1]
    return Curve.line(ends)
