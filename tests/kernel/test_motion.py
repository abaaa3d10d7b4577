"""Lengths and times of moves, worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kerfwright.curve import Curve
from kerfwright.machine import Axes, Machine, Spindle
from kerfwright.motion import tally
from kerfwright.moves import Event, Moves

MACHINE = Machine(
    spindle=Spindle(least=5000, most=24000),
    feed=Axes(xy=3000, z=1000),
    rapid=Axes(xy=6000, z=2000),
)


def moves(nodes: list[list[float]], turns: list[float], feeds: list[float], events: tuple[Event, ...] = ()) -> Moves:
    n = len(feeds)
    curve = Curve(np.array(nodes, float), np.array(turns, float))
    return Moves(curve, np.array(feeds, float), np.arange(1, n + 1), np.zeros(n), np.ones(n, np.int64), events, n)


def test_a_square_by_hand() -> None:
    # rapid 60 mm at 6000: 0.6 s; plunge 10 mm at 500: 1.2 s; 40 mm at 1200: 2.0 s; up 10 mm rapid at 2000: 0.3 s; dwell 3 s
    nodes = [[0, 0, 8], [60, 0, 8], [60, 0, -2], [100, 0, -2], [100, 0, 8]]
    t = tally(moves(nodes, [0, 0, 0, 0], [0, 500, 1200, 0], (Event("dwell", 3.0, 1, 0),)), MACHINE, 0.0)
    assert t.times.total_s == pytest.approx(0.6 + 1.2 + 2.0 + 0.3 + 3.0)
    assert t.times.kind == "least"
    assert t.cut_length_mm == pytest.approx(10 + 40)
    assert t.travel_length_mm == pytest.approx(60 + 10)
    assert t.extent == ((0.0, 0.0, -2.0), (100.0, 0.0, 8.0))


def test_the_bulge_of_an_arc_is_inside_the_extent() -> None:
    # half circle of radius 10 from (0,0) to (20,0), counter-clockwise: it bulges to y -10; length 10 pi
    t = tally(moves([[0, 0, -1], [20, 0, -1]], [math.pi], [600]), MACHINE, 0.0)
    assert t.extent[0] == pytest.approx((0.0, -10.0, -1.0))
    assert t.cut_length_mm == pytest.approx(10 * math.pi)


def test_a_feed_above_the_machine_takes_the_machines_time() -> None:
    t = tally(moves([[0, 0, -1], [50, 0, -1]], [0], [12000]), MACHINE, 0.0)  # 50 mm at 3000
    assert t.times.total_s == pytest.approx(1.0)


def test_moves_from_an_unknown_place_count_nothing() -> None:
    nan = math.nan
    t = tally(moves([[nan, nan, nan], [nan, nan, 8], [10, 10, 8], [20, 10, 8]], [0, 0, 0], [0, 0, 0]), MACHINE, 0.0)
    assert t.travel_length_mm == pytest.approx(10.0)
    assert t.extent == ((10.0, 10.0, 8.0), (20.0, 10.0, 8.0))
