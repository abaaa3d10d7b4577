"""Times under acceleration: worked by hand, by a second way of reckoning, and what must hold for every path."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.curve import Curve
from kerfwright.machine import Acceleration, Axes, Machine, Spindle
from kerfwright.moves import Event, Moves
from kerfwright.timing import timed
from kerfwright.timing.corners import corner_speeds
from kerfwright.timing.limits import accelerations, bend_speeds, feed_speeds
from kerfwright.timing.pieces import Pieces
from kerfwright.timing.speeds import node_speeds

MACHINE = Machine(
    spindle=Spindle(least=5000, most=24000),
    feed=Axes(xy=3000, z=600),
    rapid=Axes(xy=6000, z=1200),
    acceleration=Acceleration(xy=400, z=100),
)


def moves(nodes: list[list[float]], feeds: list[float], turns: list[float] | None = None, *events: Event) -> Moves:
    n = len(feeds)
    curve = Curve(np.array(nodes, float), np.zeros(n) if turns is None else np.array(turns, float))
    return Moves(curve, np.array(feeds, float), np.arange(1, n + 1), np.zeros(n), np.ones(n, np.int64), events, n)


# Z has a share of its own: from (0,0,0) to (8,0,-6), 10 mm, XY 0.8 and Z 0.6 of the way
SLOPE = [[0, 0, 0], [8, 0, -6]]


def test_a_ramp_is_held_by_the_share_of_z() -> None:
    pieces = Pieces.among(moves(SLOPE, [3000]))
    assert feed_speeds(pieces, MACHINE) == pytest.approx([1000 / 60])  # Z 600 mm/min at 0.6: 1000; XY 3000 at 0.8: 3750
    assert accelerations(pieces, MACHINE.acceleration) == pytest.approx(
        [100 / 0.6]
    )  # Z; XY would allow 400 / 0.8 = 500
    # up and down 16.6667 / 166.667 = 0.1 s and 0.83333 mm each, 8.33333 mm at 16.6667: 0.5 s
    assert timed(moves(SLOPE, [3000]), MACHINE).total_s == pytest.approx(0.7)


def test_a_rapid_slope_is_held_by_both_rapids() -> None:
    assert feed_speeds(Pieces.among(moves(SLOPE, [0])), MACHINE) == pytest.approx([2000 / 60])  # Z 1200 / 0.6
    flat = [[0, 0, 0], [9.6, 0, -2.8]]  # 10 mm, XY 0.96, Z 0.28
    assert feed_speeds(Pieces.among(moves(flat, [0])), MACHINE) == pytest.approx([1200 / 0.28 / 60])


def test_a_helix_bends_only_in_its_plan() -> None:
    """Radius 1.5 mm, half a turn pi 1.5 mm, falling as much: 45 degrees, so sqrt(400 x 1.5) = 24.495 in the plan is 34.641."""
    way = moves([[0, 0, 0], [3, 0, -math.pi * 1.5]], [9000], [math.pi])
    pieces = Pieces.among(way)
    assert bend_speeds(pieces, MACHINE.acceleration) == pytest.approx([34.641], abs=1e-3)
    assert accelerations(pieces, MACHINE.acceleration) == pytest.approx([100 * math.sqrt(2)])


@pytest.mark.parametrize(
    ("nodes", "speed"),
    [
        # r = 0.0482843 mm for 90 degrees and 0.02 mm, as tests/outside works out
        ([[0, 0, 0], [20, 0, 0], [20, 20, 0]], math.sqrt(400 * 0.0482843)),
        ([[0, 0, 9], [0, 0, 0], [20, 0, 0]], math.sqrt(100 * 0.0482843)),  # all of it in Z where the rounding ends
        ([[0, 0, 0], [20, 0, 0], [0, 0, 0]], 0.0),  # back the way it came
        ([[0, 0, 0], [0, 0, -5], [0, 0, 5]], 0.0),
        ([[0, 0, 0], [20, 0, 0], [50, 0, 0]], math.inf),
        # sides of 0.01 mm: r tan 45 = 0.005 mm at most
        ([[0, 0, 0], [0.01, 0, 0], [0.01, 20, 0]], math.sqrt(400 * 0.005)),
        # level, then 30 degrees down; r = 0.02 cos 15 / (1 - cos 15) = 0.566955. Towards the center: Z from cos 0 to cos 30
        ([[0, 0, 0], [20, 0, 0], [20 + 10 * math.sqrt(3), 0, -10]], math.sqrt(100 * 0.566955)),
    ],
)
def test_corners(nodes: list[list[float]], speed: float) -> None:
    found = corner_speeds(Pieces.among(moves(nodes, [600, 600])), MACHINE.acceleration, 0.02)
    assert found == pytest.approx([speed], rel=1e-5, abs=1e-6)


@pytest.mark.parametrize(
    ("nodes", "speed"),
    [
        ([[0, 0, 9], [0, 0, 0], [20, 0, 0]], math.sqrt(100 * 0.0482843)),  # all of it in X where the rounding begins
        # level, then 30 degrees down: the X share is least, 0, where it begins and most, sin 30, where it ends: 100 / 0.5
        ([[0, 0, 0], [20, 0, 0], [20 + 10 * math.sqrt(3), 0, -10]], math.sqrt(200 * 0.566955)),
    ],
)
def test_corners_where_z_is_the_livelier_axis(nodes: list[list[float]], speed: float) -> None:
    found = corner_speeds(Pieces.among(moves(nodes, [600, 600])), Acceleration(xy=100, z=400), 0.02)
    assert found == pytest.approx([speed], rel=1e-5)


def test_chords_of_a_circle_are_run_like_the_circle() -> None:
    """The rounding that fits touches all chords in their middles: radius 2 cos(pi/100) mm."""
    a = np.linspace(0, 2 * math.pi, 101)
    ring = moves(np.column_stack([2 * np.cos(a), 2 * np.sin(a), 0 * a]).tolist(), [3000] * 100)
    found = corner_speeds(Pieces.among(ring), MACHINE.acceleration, 0.02)
    assert found == pytest.approx(np.full(99, math.sqrt(400 * 2 * math.cos(math.pi / 100))), rel=1e-6)


LEGS = [[0, 0, 0], [10, 0, 0], [20, 0, 0]]
# 20 mm at 50 mm/s: 0.125 s and 3.125 mm up and down, 13.75 mm: 0.525 s. 10 mm twice: 0.25 + 3.75 / 50 = 0.325 s each


@pytest.mark.parametrize(
    ("events", "seconds"),
    [
        ((), 0.525),
        ((Event("dwell", 2.0, 1, 1),), 2.65),
        ((Event("pause", "look", 1, 1),), 0.65),
        ((Event("spindle", "off", 1, 1),), 0.65),
        ((Event("comment", "look", 1, 1),), 0.525),
        ((Event("path", "exact_path", 1, 0),), 0.525),
        ((Event("path", "exact_stop", 1, 0),), 0.65),
        ((Event("path", "exact_stop", 1, 0), Event("path", "exact_path", 2, 1)), 0.65),
        ((Event("path", "exact_stop", 1, 1),), 0.525),
    ],
)
def test_what_waits_until_the_cutter_stands(events: tuple[Event, ...], seconds: float) -> None:
    assert timed(moves(LEGS, [3000, 3000], None, *events), MACHINE).total_s == pytest.approx(seconds)


@pytest.mark.parametrize(
    ("events", "total", "waiting", "stops"),
    [
        ((Event("cutter", 1.0, 1, 0),), 0.525, 0.0, 0),  # the first belongs to setting up
        ((Event("cutter", 1.0, 1, 0), Event("cutter", 1.0, 2, 1)), 0.525, 0.0, 0),
        ((Event("cutter", 1.0, 1, 0), Event("change", 2.0, 2, 1)), 0.65 + 45, 0.0, 0),  # a changer, and nobody waits
        ((Event("cutter", 1.0, 1, 0), Event("change", 2.0, 2, 1), Event("pause", "T2?", 3, 1)), 0.65, 45.0, 1),
        ((Event("cutter", 1.0, 1, 0), Event("pause", "fit T2", 2, 1), Event("cutter", 2.0, 3, 1)), 0.65, 45.0, 1),
        ((Event("pause", "zero?", 1, 0), Event("cutter", 1.0, 2, 0), Event("optional_pause", "", 2, 2)), 0.525, 0.0, 1),
    ],
)
def test_cutter_changes_and_stops(events: tuple[Event, ...], total: float, waiting: float, stops: int) -> None:
    t = timed(moves(LEGS, [3000, 3000], None, *events), attrs.evolve(MACHINE, change_s=45.0))
    assert (t.total_s, t.waiting_s, t.waits.stops) == (pytest.approx(total), waiting, stops)


def test_moves_from_an_unknown_place_and_moves_of_no_length_take_nothing() -> None:
    nan = math.nan
    nodes = [
        [nan, nan, nan],
        [nan, nan, 8],
        [10, 10, 8],
        [10, 10, 8],
        [30, 10, 8],
        [nan, nan, 8],
        [30, 10, 8],
        [50, 10, 8],
    ]
    t = timed(moves(nodes, [0, 0, 0, 3000, 3000, 0, 3000]), MACHINE)
    assert t.moving == pytest.approx([0, 0, 0, 0.525, 0, 0, 0.525])  # what was forgotten between them parts them
    assert timed(moves([[0, 0, 0]], []), MACHINE).total_s == 0
    assert timed(moves([[0, 0, 0], [0, 0, 0]], [500]), MACHINE).total_s == 0


def test_looking_ahead_over_many_moves() -> None:
    """20 pieces of 1 mm at 50 mm/s, 100 mm/s2: nodes at sqrt(200 k) from the ends, 44.721 mm/s in the middle."""
    found = node_speeds(np.array([0.0, *[50.0] * 19, 0.0]), np.ones(20), np.full(20, 100.0))
    by_hand = [math.sqrt(200 * min(k, 20 - k)) for k in range(21)]
    assert found == pytest.approx(by_hand)


def random_path(seed: int, n: int) -> Moves:
    """Lines, arcs, ramps, rapids, short and long."""
    draw = np.random.default_rng(seed)
    step = 10 ** draw.uniform(-1, 1.3, (n, 1)) * draw.normal(0, [1, 1, 0.2], (n, 3))
    step[draw.random(n) < 0.2, 2] = 0
    turns = np.where(draw.random(n) < 0.4, draw.uniform(-3, 3, n), 0.0)
    feeds = np.where(draw.random(n) < 0.2, 0.0, draw.uniform(200, 4000, n))
    nodes = np.vstack([np.zeros((1, 3)), np.cumsum(step, axis=0)])
    return moves(nodes.tolist(), feeds.tolist(), turns.tolist())


@pytest.mark.parametrize("seed", range(12))
def test_a_second_way_of_reckoning(seed: int) -> None:
    """The same limits on a fine ladder of places: v2 can grow by 2 a ds from one to the next, both ways; time is 2 ds / (v + v').

    The cusps fall between places, so that the ladder is a little off: 0.2 %.
    """
    way = random_path(seed, 12)
    pieces = Pieces.among(way)
    along = accelerations(pieces, MACHINE.acceleration)
    most = np.minimum(feed_speeds(pieces, MACHINE), bend_speeds(pieces, MACHINE.acceleration))
    corners = corner_speeds(pieces, MACHINE.acceleration, MACHINE.path_deviation)
    count = np.ceil(pieces.lengths / 0.002).astype(int)
    k = np.repeat(np.arange(len(count)), count)
    ds = (pieces.lengths / count)[k]
    cap = np.append(np.minimum(most[k], np.append(most[0], most[k[:-1]])), 0.0) ** 2
    cap[0] = 0.0
    cap[np.cumsum(count)[:-1]] = np.minimum(np.minimum(most[:-1], most[1:]), corners) ** 2
    gained = np.concatenate([[0.0], np.cumsum(2 * along[k] * ds)])
    up = np.minimum.accumulate(cap - gained) + gained
    down = (np.minimum.accumulate((up + gained)[::-1]))[::-1] - gained
    v = np.sqrt(np.maximum(down, 0.0))
    assert timed(way, MACHINE).total_s == pytest.approx(float((2 * ds / (v[:-1] + v[1:])).sum()), rel=2e-3)


PATHS = st.builds(random_path, st.integers(0, 10**6), st.integers(1, 40))
SHARES = st.lists(st.floats(0.02, 0.98), min_size=1, max_size=4, unique=True)
MANY = settings(max_examples=150, deadline=None, derandomize=True)


@MANY
@given(PATHS)
def test_never_less_than_length_over_feed(way: Moves) -> None:
    """All 150 cases reach the assertion, of each move and of the whole; the machine without accelerations has the least time."""
    t = timed(way, MACHINE)
    rapid = way.feeds == 0
    asked = way.curve.lengths_3d / np.where(rapid, 1e9, way.feeds) * 60
    assert (t.moving >= asked * (1 - 1e-9)).all()
    least = timed(way, attrs.evolve(MACHINE, acceleration=None))
    assert least.kind == "least"
    assert (t.moving >= least.moving * (1 - 1e-9)).all()
    assert (least.moving >= asked * (1 - 1e-9)).all()


@MANY
@given(PATHS, st.floats(0.05, 1.0), st.floats(0.05, 1.0), st.floats(0.01, 1.0))
def test_never_less_with_lower_limits(way: Moves, xy: float, z: float, deviation: float) -> None:
    """All 150 cases reach the assertion: accelerations of X and Y, of Z, and the deviation, lowered each for itself and together."""
    a = MACHINE.acceleration
    assert a is not None
    slower = [
        attrs.evolve(MACHINE, acceleration=Acceleration(xy=a.xy * xy, z=a.z)),
        attrs.evolve(MACHINE, acceleration=Acceleration(xy=a.xy, z=a.z * z)),
        attrs.evolve(MACHINE, path_deviation=0.02 * deviation),
    ]
    slower.append(
        attrs.evolve(slower[0], acceleration=Acceleration(xy=a.xy * xy, z=a.z * z), path_deviation=0.02 * deviation)
    )
    full = timed(way, MACHINE).total_s
    assert all(timed(way, one).total_s >= full * (1 - 1e-9) for one in slower)


@MANY
@given(PATHS, st.integers(0, 39), SHARES)
def test_a_line_cut_in_pieces_takes_the_same_time(way: Moves, k: int, shares: list[float]) -> None:
    """All 150 cases reach the assertion: where the move drawn is an arc it is made a line first."""
    n = len(way.feeds)
    k %= n
    nodes, feeds, turns = way.curve.nodes.tolist(), way.feeds.tolist(), way.curve.turns.tolist()
    turns[k] = 0.0
    whole = timed(moves(nodes, feeds, turns), MACHINE).total_s
    a, b = np.array(nodes[k]), np.array(nodes[k + 1])
    between = [(a + f * (b - a)).tolist() for f in sorted(shares)]
    more = len(between)
    pieces = moves(
        [*nodes[: k + 1], *between, *nodes[k + 1 :]],
        [*feeds[:k], *[feeds[k]] * (more + 1), *feeds[k + 1 :]],
        [*turns[:k], *[0.0] * (more + 1), *turns[k + 1 :]],
    )
    assert timed(pieces, MACHINE).total_s == pytest.approx(whole, rel=1e-6)
