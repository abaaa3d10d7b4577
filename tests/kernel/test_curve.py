"""Curve against shapely, on chords so fine that they do not matter, and against closed forms.

Hypothesis brings 60 cases to the assertions of each property: what does not fit is drawn anew, never passed over."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kerfwright.curve import EMPTY, Curve

FINE = 1e-7


@st.composite
def runs(draw):
    """Open runs of lines and arcs, some segments plunging or climbing."""
    n = draw(st.integers(1, 8))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    nodes = np.column_stack([np.cumsum(rng.uniform(-9, 9, (n + 1, 2)), axis=0), rng.uniform(-3, 3, n + 1)])
    return Curve(nodes, rng.choice([0, 1], n) * rng.uniform(-5.5, 5.5, n))


@st.composite
def rings(draw):
    """Closed simple outlines: stars with bulging sides."""
    n = draw(st.integers(3, 9))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    a = np.arange(n) * 2 * np.pi / n
    r = rng.uniform(8, 12, n)
    p = np.column_stack([r * np.cos(a), r * np.sin(a), 0 * a])
    c = Curve(np.vstack([p, p[:1]]), rng.choice([0.0, 0.4, -0.3], n))
    return c if rng.random() < 0.5 else c.reversed()


@given(runs())
@settings(max_examples=60, deadline=None)
def test_the_path_of_each_segment_is_that_of_a_curve_with_one(c):
    alone = [Curve(c.nodes[k : k + 2], c.turns[k : k + 1]).path(0.001) for k in range(len(c))]
    assert [shapely.to_wkb(one) for one in c.paths(0.001)] == [shapely.to_wkb(one) for one in alone]
    assert len(EMPTY.paths()) == 0


@given(runs())
@settings(max_examples=60, deadline=None)
def test_length_bounds_and_points_agree_with_fine_chords(c):
    points, segment = c.flat(FINE)
    line = shapely.LineString(points[:, :2])
    assert c.length == pytest.approx(line.length, abs=1e-4, rel=1e-6)
    assert c.bounds == pytest.approx(line.bounds, abs=1e-5)
    at, _ = c.at(np.linspace(0, c.length, 23))
    assert shapely.distance(shapely.points(at[:, :2]), line).max() < 1e-5
    assert len(points) == len(segment) + 1
    assert (np.diff(segment) >= 0).all()
    assert c.lengths_3d == pytest.approx(np.hypot(c.lengths, np.diff(c.nodes[:, 2])))


@given(rings())
@settings(max_examples=60, deadline=None)
def test_area_and_its_sign_agree_with_fine_chords(c):
    ring = c.polygon(FINE)
    assert c.signed_area == pytest.approx(ring.area if ring.exterior.is_ccw else -ring.area, abs=1e-4)
    assert c.reversed().signed_area == pytest.approx(-c.signed_area)
    assert c.mirrored().signed_area == pytest.approx(-c.signed_area)


@given(runs(), st.lists(st.floats(0, 1), max_size=6))
@settings(max_examples=60, deadline=None)
def test_splitting_changes_no_point_and_no_turn(c, fractions):
    cut, old = c.split(np.array(fractions) * c.length)
    assert cut.length == pytest.approx(c.length)
    assert np.bincount(old, weights=cut.turns, minlength=len(c)) == pytest.approx(c.turns, abs=1e-9)
    s = np.linspace(0, c.length, 41)
    assert cut.at(s)[0] == pytest.approx(c.at(s)[0], abs=1e-6)
    for f in fractions:
        assert np.abs(cut.s - f * c.length).min() < 1e-6 * max(c.length, 1)


@given(runs(), st.floats(0, 1), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_between_is_the_piece_of_that_length(c, a, b):
    a, b = sorted((a * c.length, b * c.length))
    assume(b - a >= 1e-3)
    piece = c.between(a, b)
    assert piece.length == pytest.approx(b - a, abs=1e-6)
    assert piece.at([0, (b - a) / 2, b - a])[0][:, :2] == pytest.approx(c.at([a, (a + b) / 2, b])[0][:, :2], abs=1e-5)


@given(rings(), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_turning_the_start_keeps_the_outline(c, f):
    turned = c.turned_to(f * c.length)
    assert turned.closed
    assert turned.length == pytest.approx(c.length)
    assert turned.signed_area == pytest.approx(c.signed_area)
    assert turned.bounds == pytest.approx(c.bounds)
    assert turned.start[:2] == pytest.approx(c.at([f * c.length])[0][0, :2], abs=1e-6)


@given(runs(), st.floats(-720, 720))
@settings(max_examples=60, deadline=None)
def test_turning_agrees_with_shapely(c, degrees):
    want = shapely.affinity.rotate(c.path(1e-4), degrees, origin=(0, 0))
    got = c.rotated(degrees).path(1e-4)
    assert shapely.get_coordinates(got) == pytest.approx(shapely.get_coordinates(want), abs=1e-6)


def test_quarter_turns_are_exact():
    """No digit is lost: 0.1 and 0.2 come back as they were."""
    c = Curve.line([(0.1, 0.2), (0.3, 0.7)])
    assert c.rotated(90).nodes.tolist() == [[-0.2, 0.1, 0.0], [-0.7, 0.3, 0.0]]
    assert c.rotated(-90).rotated(90).nodes.tolist() == c.nodes.tolist()
    assert c.rotated(180).nodes.tolist() == [[-0.1, -0.2, 0.0], [-0.3, -0.7, 0.0]]


def test_a_hair_less_than_no_turn_is_no_turn():
    """The remainder of -1e-200 by 360 is 360 itself in floating point."""
    c = Curve.line([(1, 2), (3, 4)])
    assert c.rotated(-1e-200).nodes.tolist() == c.nodes.tolist()


def test_closed_forms():
    """Circle 2 pi r and pi r2; helix of two turns; half a disc bounded by its diameter."""
    circle = Curve.circle(1, 2, 5)
    assert circle.length == pytest.approx(10 * math.pi)
    assert circle.signed_area == pytest.approx(25 * math.pi)
    assert circle.bounds == pytest.approx((-4, -3, 6, 7))
    assert circle.closed
    helix = Curve.circle(0, 0, 3, turn=4 * math.pi - 1e-9).at_z(0, -2)
    assert helix.length == pytest.approx(12 * math.pi)
    assert helix.end[2] == pytest.approx(-2)
    assert helix.at([3 * math.pi])[0][0] == pytest.approx([-3, 0, -0.5], abs=1e-6)
    half = Curve(np.array([(5.0, 0, 0), (-5, 0, 0), (5, 0, 0)]), np.array([math.pi, 0]))
    assert half.signed_area == pytest.approx(12.5 * math.pi)
    assert half.bounds == pytest.approx((-5, 0, 5, 5))
    assert half.centers[0] == pytest.approx([0, 0])
    assert half.radii.tolist() == pytest.approx([5, math.inf])
    assert half.directions[0] == pytest.approx([math.pi / 2, 3 * math.pi / 2])


def test_a_plunge_has_no_length_in_plan():
    plunge = Curve.line([(1, 1, 5), (1, 1, -2), (4, 5, -2)])
    assert plunge.length == 5
    assert plunge.lengths_3d.tolist() == [7, 5]


def test_joining_refuses_ends_that_lie_apart():
    a, b = Curve.line([(0, 0), (1, 0)]), Curve.line([(1.001, 0), (2, 0)])
    with pytest.raises(ValueError, match="ends do not meet"):
        Curve.join([a, b])
    assert Curve.join([]) is EMPTY
    assert len(Curve.join([a, EMPTY, Curve.line([(1, 0), (2, 0)])])) == 2


def test_moved_keeps_what_is_known():
    c = Curve.circle(0, 0, 5)
    assert c.length == c.moved(3, 4, 5).length
    assert c.moved(3, 4).bounds == pytest.approx((-2, -1, 8, 9))
    assert c.moved(3, 4, 5).nodes[:, 2].tolist() == [5, 5, 5]
    assert c.moved(3, 4).centers[0] == pytest.approx([3, 4])
