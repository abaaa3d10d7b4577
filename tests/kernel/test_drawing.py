"""Loops: which are circles, how they nest, how they move."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Loop, Remark
from kerfwright.making import _remark


def ngon(n: int, radius: float, x: float = 0.0, y: float = 0.0, noise: float = 0.0) -> Loop:
    a = np.arange(n) * 2 * np.pi / n
    r = radius + noise * np.cos(np.arange(n) * 2.1)
    p = np.column_stack([x + r * np.cos(a), y + r * np.sin(a)])
    return Loop(Curve.line(np.vstack([p, p[:1]])))


def arcs(points: list[tuple[float, float]], turns: list[float]) -> Loop:
    p = np.array([*points, points[0]], float)
    return Loop(Curve(np.column_stack([p, np.zeros(len(p))]), np.array(turns)))


QUARTER = [(5, 0), (0, 5), (-5, 0), (0, -5)]

ROUND = {
    "two arcs": (Loop(Curve.circle(3, 4, 1.6, start=0.7)), (3, 4, 3.2)),
    "four arcs": (arcs(QUARTER, [math.pi / 2] * 4), (0, 0, 10)),
    "clockwise": (Loop(Curve.circle(3, 4, 1.6).reversed()), (3, 4, 3.2)),
    "a fine polygon": (ngon(200, 5, 7, -3), (7, -3, 10)),
    "a small fine polygon, an odd number of sides": (ngon(17, 0.5), (0, 0, 1.0)),
    "within 0.002": (ngon(200, 5, noise=0.0009), (0, 0, 10)),
    "three quarters of an arc and chords": (
        Loop(Curve.join([Curve(np.array([(5.0, 0, 0), (0, -5.0, 0)]), np.array([1.5 * math.pi])), Curve.line([(5 * math.sin(a), -5 * math.cos(a)) for a in np.linspace(0, math.pi / 2, 31)])])),
        (0, 0, 10),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("loop", "want"), ROUND.values(), ids=ROUND)
def test_what_is_a_circle(loop, want):
    hole = loop.circle
    assert (hole.x, hole.y, hole.diameter) == pytest.approx(want, abs=0.002)


NOT_ROUND = {
    "a hexagon": ngon(6, 5),
    "sixteen sides of a large one": ngon(16, 5),
    "fifteen sides": ngon(15, 0.2),
    "rough": ngon(200, 5, noise=0.004),
    "a slot": arcs([(0, -3), (0.05, -3), (0.05, 3), (0, 3)], [0, math.pi, 0, math.pi]),
    "an egg of four arcs": arcs([(5, 0), (0, 5), (-5, 0), (0, -5)], [1.58, 1.58, 1.55, 1.55]),
    "a half disc": arcs([(-5, 0), (5, 0)], [0, math.pi]),
    "a lens": arcs([(-5, 0), (5, 0)], [2.0, 2.0]),
}


@pytest.mark.parametrize("loop", NOT_ROUND.values(), ids=NOT_ROUND)
def test_what_is_no_circle(loop):
    assert loop.circle is None


def test_moving_turns_first():
    """(10, 0) turned by 90 degrees and shifted by (1, 2) is (1, 12)."""
    loop = Loop(Curve.circle(10, 0, 2), "hole", 1, 0).moved(1, 2, 90)
    assert (loop.circle.x, loop.circle.y) == pytest.approx((1, 12), abs=1e-9)
    assert (loop.layer, loop.depth, loop.parent) == ("hole", 1, 0)


def test_nesting_turns_all_counter_clockwise_and_keeps_order():
    loops = [Loop(Curve.circle(0, 0, r).reversed() if r % 2 else Curve.circle(0, 0, r), str(r)) for r in (3, 8, 1, 6)]
    got = Drawing.nested(loops).loops
    assert [o.layer for o in got] == ["3", "8", "1", "6"]
    assert [o.depth for o in got] == [2, 0, 3, 1]
    assert [o.parent for o in got] == [3, -1, 0, 1]
    assert all(o.curve.signed_area > 0 for o in got)


def test_siblings_share_a_parent():
    """A plate with two windows, an island in one: nothing of the other window."""
    loops = [Loop(Curve.circle(x, 0, r)) for x, r in ((0, 50), (-20, 10), (20, 10), (20, 4))]
    got = Drawing.nested(loops).loops
    assert [(o.depth, o.parent) for o in got] == [(0, -1), (1, 0), (1, 0), (2, 2)]


def test_a_loop_in_a_bay_is_not_inside():
    """A disc in the mouth of a C: within its bounds, outside its area."""
    c = Loop(Curve.line([(0, 0), (30, 0), (30, 5), (5, 5), (5, 25), (30, 25), (30, 30), (0, 30), (0, 0)]))
    assert [o.depth for o in Drawing.nested([c, Loop(Curve.circle(18, 15, 6))]).loops] == [0, 0]


def test_extent_counts_the_bulge_of_arcs():
    drawing = Drawing.nested([Loop(Curve.circle(0, 0, 5, start=0.3)), Loop(Curve.circle(20, 1, 2, start=1.0))])
    assert drawing.bounds == pytest.approx((-5, -5, 22, 5), abs=1e-12)


def test_a_remark_has_its_place_in_plain_digits():
    """A closed spline comes back to 2.3e-16, which nobody wants to read."""
    assert _remark(Remark("odd", (127.0, 2.3e-16))) == "odd (at 127, 0 of the drawing)"
    assert _remark(Remark("odd")) == "odd"
