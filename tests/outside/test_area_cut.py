"""Area of what is cut, against values worked by hand (geometry: Pappus' theorem for a band, the shoelace formula for a
polygon, circular segments). The sweep under test is the one that checks judge programs by.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.evidence import Course, Cutting, Reading
from kerfwright.moves import Moves

R = 1.0
CUTTER = Cutter(name="mill", number=1, form="end_mill", diameter=2 * R, teeth=2, flute_length=8.0)


def area(curve: Curve) -> float:
    n = len(curve)
    low = curve.at_z(-1.0)
    m = Moves(low, np.full(n, 100.0), np.arange(n), np.full(n, 1e4), np.ones(n, np.int64), (), n)
    return float(Cutting.at(Course.of([Reading("x", "program", "", m)], [CUTTER]), 0.0).swept().area)


def polygon(points: list[tuple[float, float]]) -> float:
    """Shoelace."""
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]]))) / 2


SHAPES = {
    # a stadium: length times width and one disc
    "line of 20": (Curve.line([(0, 0), (20, 0)]), 20 * 2 * R + math.pi * R * R),
    # Pappus: length of the middle line times width
    "circle of radius 7": (Curve.circle(0, 0, 7), 2 * math.pi * 7 * 2 * R),
    # Pappus for half a ring, and two half discs at its ends
    "half circle of radius 5": (
        Curve(np.array([[5.0, 0, 0], [-5.0, 0, 0]]), np.array([math.pi])),
        math.pi * 5 * 2 * R + math.pi * R * R,
    ),
    # around a triangle 3-4-5 times four: outside its perimeter times r and one disc; inside, the triangle without the one
    # that is left: an inner triangle of the same shape, its inradius 4 smaller by r
    "triangle 12, 16, 20": (
        Curve.line([(0, 0), (16, 0), (0, 12), (0, 0)]),
        polygon([(0, 0), (16, 0), (0, 12)]) * (1 - ((4 - R) / 4) ** 2) + 48 * R + math.pi * R * R,
    ),
    # an L of two ways: two stadiums, less what both sweep at the corner: a square and three quarters of a disc
    "an L of 10 and 6": (
        Curve.line([(0, 0), (10, 0), (10, 6)]),
        (10 * 2 * R + math.pi * R * R) + (6 * 2 * R + math.pi * R * R) - (R * R + 3 * math.pi * R * R / 4),
    ),
}


@pytest.mark.parametrize("name", SHAPES)
def test_area_of_a_sweep(name: str) -> None:
    """Chords keep within 0.0005 mm of way and edge, so the area is true to 0.001 mm times the length of the edge."""
    curve, by_hand = SHAPES[name]
    assert area(curve) == pytest.approx(by_hand, abs=0.001 * (2 * curve.length + 2 * math.pi * R))


def test_the_sum_of_all_five() -> None:
    """40 + 3.1416, 87.9646, 31.4159 + 3.1416, 96 x 7/16 + 48 + 3.1416 and 31 + 3.9270: worked on paper to 0.001."""
    assert sum(by_hand for _, by_hand in SHAPES.values()) == pytest.approx(293.732, abs=0.001)
    assert sum(area(curve) for curve, _ in SHAPES.values()) == pytest.approx(293.732, abs=0.25)
