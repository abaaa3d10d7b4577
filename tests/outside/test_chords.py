"""Chords of a circle within a tolerance. Source: geometry (the sagitta r (1 - cos(pi/n)))."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kerfwright.curve import Curve
from kerfwright.outlines.bends import FLATNESS, bezier, ellipse


def sagitta(radius: float, chords: int) -> float:
    return radius * (1 - math.cos(math.pi / chords))


# radius, tolerance, least number of chords. The first is 99.33 rounded up: pi / acos(1 - 0.005/10)
CHORDS = [(10, 0.005, 100), (1.6, 0.0005, 126), (100, 0.001, 703), (5, 0.05, 23)]


@pytest.mark.parametrize(("radius", "tolerance", "least"), CHORDS)
def test_a_circle_takes_the_least_even_number_of_chords(radius, tolerance, least):
    """The least n whose sagitta is within the tolerance; even here, for a circle is two arcs."""
    assert sagitta(radius, least) <= tolerance < sagitta(radius, least - 1)
    points, _ = Curve.circle(0, 0, radius).flat(tolerance)
    assert len(points) - 1 == least + least % 2
    middles = (points[:-1] + points[1:]) / 2
    assert radius - np.hypot(*middles[:, :2].T).min() <= tolerance


def test_chords_of_an_ellipse_keep_within_the_tolerance():
    """Half axes 30 and 4: no point of the ellipse, at 200 parameters a chord, lies farther than 0.0005 mm from it."""
    c = ellipse((0, 0), (30, 0), (0, 4), 0, 2 * math.pi)
    n = len(c)
    t = np.arange(n)[:, None] * 2 * math.pi / n + np.linspace(0, 2 * math.pi / n, 200)
    p = np.stack([30 * np.cos(t), 4 * np.sin(t)], axis=-1)
    a, d = c.nodes[:-1, None, :2], c.chords[:, None]
    off = np.abs(d[..., 0] * (p - a)[..., 1] - d[..., 1] * (p - a)[..., 0]) / np.hypot(d[..., 0], d[..., 1])
    assert 0.9 * FLATNESS < off.max() <= FLATNESS


def test_chords_of_a_cubic_keep_within_the_tolerance():
    """Bernstein polynomials written out, 100 parameters a chord."""
    q = np.array([(0, 0), (40, 60), (-20, 60), (20, 0)], float)
    c = bezier(q)
    t = (np.arange(len(c))[:, None] + np.linspace(0, 1, 100)) / len(c)
    weights = np.stack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3], axis=-1)
    p = weights @ q
    a, d = c.nodes[:-1, None, :2], c.chords[:, None]
    off = np.abs(d[..., 0] * (p - a)[..., 1] - d[..., 1] * (p - a)[..., 0]) / np.hypot(d[..., 0], d[..., 1])
    assert 0.5 * FLATNESS < off.max() <= FLATNESS
