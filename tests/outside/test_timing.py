"""Times of moves under acceleration: kinematics, worked by hand, and against the general motion library `ruckig` (PyPI)."""

from __future__ import annotations

import math

import numpy as np
import pytest
import ruckig

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.machine import Acceleration, Axes, Machine, Spindle
from kerfwright.moves import Moves
from kerfwright.timing import timed
from kerfwright.timing.corners import corner_speeds, rounded
from kerfwright.timing.durations import durations, peaks
from kerfwright.timing.limits import bend_speeds
from kerfwright.timing.pieces import Pieces

HIGH_JERK = 1e9
"""mm/s3: the acceleration is there within a microsecond, so that the library's limit of jerk does not count."""


def machine(feed: float, acceleration: float) -> Machine:
    """Feed in mm/s, all limits of one size."""
    axes = Axes(xy=60 * feed, z=60 * feed)
    return Machine(
        spindle=Spindle(least=5000, most=24000),
        feed=axes,
        rapid=axes,
        acceleration=Acceleration(xy=acceleration, z=acceleration),
    )


def moves(curve: Curve, feed: float) -> Moves:
    n = len(curve)
    return Moves(curve, np.full(n, 60 * feed), np.arange(1, n + 1), np.zeros(n), np.ones(n, np.int64))


def by_library(way: float, begin: float, end: float, most: float, acceleration: float) -> float:
    """Least time (s) of one axis, by `ruckig`."""
    asked = ruckig.InputParameter(1)
    asked.current_position, asked.current_velocity, asked.current_acceleration = [0.0], [begin], [0.0]
    asked.target_position, asked.target_velocity, asked.target_acceleration = [way], [end], [0.0]
    asked.max_velocity, asked.max_acceleration, asked.max_jerk = [most], [acceleration], [HIGH_JERK]
    found = ruckig.Trajectory(1)
    assert ruckig.Ruckig(1).calculate(asked, found) == ruckig.Result.Working
    took: float = found.duration
    return took


@pytest.mark.parametrize(
    ("way", "seconds"),
    [
        (80.0, 2.100),  # 0.1 s and 2 mm up to 40 mm/s, the same down, 76 mm at 40 mm/s: 1.9 s
        (1.5, 0.1225),  # 2 sqrt(1.5 / 400) = 0.12247: 40 mm/s is never reached
    ],
)
def test_a_single_move(way: float, seconds: float) -> None:
    """Kinematics: 40 mm/s, 400 mm/s2."""
    t = timed(moves(Curve.line([[0, 0, 0], [way, 0, 0]]), 40.0), machine(100.0, 400.0))
    assert t.kind == "accelerated"
    assert t.total_s == pytest.approx(seconds, abs=5e-5)
    assert t.total_s == pytest.approx(by_library(way, 0.0, 0.0, 40.0, 400.0), abs=1e-5)


def test_the_peak_of_a_short_move() -> None:
    """Kinematics: sqrt(400 x 1.5) = 24.49 mm/s after 0.75 mm."""
    one = [np.array([v]) for v in (1.5, 0.0, 0.0, 40.0, 400.0)]
    assert peaks(*one) == pytest.approx([24.49], abs=5e-3)


def test_the_speed_on_an_arc() -> None:
    """Kinematics: sqrt(400 x 1.2) = 21.91 mm/s; a full circle of 7.540 mm takes 21.91 / 400 s longer than 7.540 / 21.91 s."""
    way = moves(Curve.circle(0, 0, 1.2), 40.0)
    assert bend_speeds(Pieces.among(way), Acceleration(xy=400, z=100)) == pytest.approx([21.91, 21.91], abs=5e-3)
    # up and down: v2 / 2a = 0.6 mm each; 6.3398 mm at 21.909 mm/s = 0.28937 s; 2 x 21.909 / 400 = 0.10954 s
    assert timed(way, machine(100.0, 400.0)).total_s == pytest.approx(0.39891, abs=2e-5)


@pytest.mark.parametrize("degrees", [1.0, 10.0, 45.0, 90.0, 135.0, 179.0])
@pytest.mark.parametrize("deviation", [0.005, 0.02, 0.5])
def test_the_rounding_of_a_corner_leaves_it_by_the_deviation(degrees: float, deviation: float) -> None:
    """Geometry, drawn: a circle that touches both sides of the corner; its nearest point to the corner."""
    half = math.radians(degrees) / 2
    (radius,) = rounded(deviation, np.array([math.sin(half)]), np.array([math.cos(half)]))
    # the corner is the origin; it comes along +X and leaves at `degrees`. The circle touches the X axis from above
    center = np.array([-radius * math.tan(half), radius])
    out = np.array([math.cos(2 * half), math.sin(2 * half)])
    assert abs(out[0] * center[1] - out[1] * center[0]) == pytest.approx(radius, rel=1e-9)  # distance to the other side
    assert math.hypot(*center) - radius == pytest.approx(deviation, rel=1e-4, abs=1e-9)


def test_a_right_angle_worked_by_hand() -> None:
    """Two legs of 20 mm at 40 mm/s, 400 mm/s2, 0.02 mm.

    cos 45 = 0.707107: r = 0.02 x 0.707107 / 0.292893 = 0.0482843 mm, v = sqrt(19.31371) = 4.394737 mm/s.
    A leg: 0.1 s and 2 mm up; (40 - 4.394737) / 400 = 0.0890132 s and (1600 - 19.31371) / 800 = 1.9758579 mm down;
    16.0241421 mm at 40 mm/s = 0.4006036 s; 0.5896167 s together, and twice that.
    """
    way = moves(Curve.line([[0, 0, 0], [20, 0, 0], [20, 20, 0]]), 40.0)
    assert corner_speeds(Pieces.among(way), Acceleration(xy=400, z=100), 0.02) == pytest.approx([4.394737], abs=1e-5)
    assert timed(way, machine(100.0, 400.0)).total_s == pytest.approx(1.1792335, abs=1e-6)


def test_a_zigzag_worked_by_hand() -> None:
    """Three legs of 5 mm, each turned by 60 degrees from the last, 50 mm/s, 500 mm/s2, 0.02 mm: no leg reaches its feed.

    cos 30 = 0.866025: r = 0.02 x 0.866025 / 0.133975 = 0.1292820 mm, v = sqrt(64.64102) = 8.039964 mm/s.
    First and last leg: peak sqrt(64.64102 / 2 + 2500) = 50.322 > 50: up 0.1 s, 2.5 mm; down 41.960036 / 500 = 0.0839201 s,
    (2500 - 64.64102) / 1000 = 2.435359 mm; 0.064641 mm at 50 = 0.0012928 s; 0.1852129 s.
    Middle: 0.0839201 s up and down, 5 - 4.870718 = 0.129282 mm = 0.0025856 s; 0.1704258 s. Together 0.5408516 s.
    """
    a = math.radians(60)
    nodes = np.cumsum([[0, 0], [5, 0], [5 * math.cos(a), 5 * math.sin(a)], [5, 0]], axis=0)
    assert timed(moves(Curve.line(nodes), 50.0), machine(100.0, 500.0)).total_s == pytest.approx(0.5408516, abs=1e-6)


def random_moves(count: int) -> Floats:
    """Rows: way, begin, end, most, acceleration. As a scheduler draws them: each speed can be reached from the other."""
    draw = np.random.default_rng(8)
    way, most = 10 ** draw.uniform(-2, 2.3, count), draw.uniform(1, 150, count)
    acceleration = draw.uniform(50, 1500, count)
    begin = most * draw.choice([0.0, 1.0, 0.5], count) * draw.uniform(0, 1, count)
    slowest = np.sqrt(np.maximum(begin**2 - 2 * acceleration * way, 0))
    fastest = np.minimum(most, np.sqrt(begin**2 + 2 * acceleration * way))
    end = slowest + (fastest - slowest) * draw.uniform(0, 1, count)
    return np.column_stack([way, begin, end, most, acceleration])


def test_a_thousand_moves_with_speeds_at_both_ends_against_the_library() -> None:
    """All 1,000 within 1 %. Some never reach their feed, some do."""
    rows = random_moves(1000)
    mine = durations(*rows.T)
    theirs = np.array([by_library(*row) for row in rows.tolist()])
    assert np.abs(mine / theirs - 1).max() < 0.01
    reach = peaks(*rows.T) == rows[:, 3]
    assert 200 < reach.sum() < 800
