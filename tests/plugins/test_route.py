"""Orders of cuts: each block once, what must come first does, and the shortest route is short."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.errors import NoRoom
from kerfwright.strategy import Route
from kerfwright_plugins.route.listed import Listed
from kerfwright_plugins.route.shortest import Shortest

NONE = np.zeros((0, 2), np.int64)
ORIGIN = np.zeros(2)


def air(starts: np.ndarray, ends: np.ndarray, order: np.ndarray) -> float:
    """Way in the air (mm) from the origin."""
    here = np.vstack([ORIGIN, ends[order[:-1]]])
    return float(np.hypot(*(starts[order] - here).T).sum())


@pytest.mark.parametrize("route", [Listed(), Shortest()], ids=repr)
def test_what_must_come_first_does_whatever_waits_for_what(route: Route) -> None:
    """Random places, random waits that have an order; states how many waits were looked at."""
    reached = 0

    @settings(max_examples=150, deadline=None, derandomize=True)
    @given(st.integers(1, 30), st.integers(0, 60), st.integers(0, 2**32 - 1))
    def look(n: int, waits: int, seed: int) -> None:
        nonlocal reached
        rng = np.random.default_rng(seed)
        starts, ends = rng.uniform(0, 300, (n, 2)), rng.uniform(0, 300, (n, 2))
        hidden = rng.permutation(n)  # an order that exists
        pairs = np.sort(rng.integers(0, n, (waits, 2)), axis=1)
        before = hidden[pairs[pairs[:, 0] < pairs[:, 1]]].reshape(-1, 2)
        kept = [a.tobytes() for a in (starts, ends, before)]
        order = route(starts, ends, before, ORIGIN).tolist()
        assert sorted(order) == list(range(n))
        for a, b in before.tolist():
            assert order.index(a) < order.index(b)
            reached += 1
        assert route(starts, ends, before, ORIGIN).tolist() == order
        assert [a.tobytes() for a in (starts, ends, before)] == kept

    look()
    assert reached > 500, f"only {reached} waits reached the assertion"


def test_listed_keeps_the_list_but_for_what_must_wait() -> None:
    at = np.zeros((5, 2))
    assert Listed()(at, at, NONE, ORIGIN).tolist() == [0, 1, 2, 3, 4]
    assert Listed()(at, at, np.array([[3, 0], [4, 1]]), ORIGIN).tolist() == [2, 3, 0, 4, 1]


def test_shortest_finishes_a_piece_before_it_crosses_the_sheet() -> None:
    """Two pieces 200 mm apart, each a hole and an outline around it: not both holes first."""
    at = np.array([[10.0, 10], [12, 10], [210, 10], [212, 10]])
    assert Shortest()(at, at, np.array([[0, 1], [2, 3]]), ORIGIN).tolist() == [0, 1, 2, 3]


def test_shortest_counts_from_where_the_last_cut_ends() -> None:
    """A cut from 1 to 90 carries the cutter there: the block at 95 is then nearer than the one at -20."""
    starts = np.array([[-20.0, 0], [95, 0], [1, 0]])
    ends = np.array([[-20.0, 0], [95, 0], [90, 0]])
    assert Shortest()(starts, ends, NONE, ORIGIN).tolist() == [0, 2, 1]  # 20 + 21 + 5, not 1 + 5 + 115 or 1 + 110 + 115


def test_of_equally_near_blocks_the_first_listed_comes_first() -> None:
    """Distances that differ in the last bit only are equal."""
    starts = np.array([[0.3, 0], [0.1 + 0.2, 0], [0, 0.3]])
    assert Shortest()(starts, starts, NONE, ORIGIN).tolist() == [0, 1, 2]


@pytest.mark.parametrize("seed", range(5))
def test_shortest_is_short(seed: int) -> None:
    """Random places in a square: the shortest route is 0.7124 sqrt(n A) for many (Beardwood, Halton and Hammersley 1959;
    the constant from memory; of few places it is some more, for the edge). Nearest neighbour alone is a quarter above."""
    n = 200
    at = np.random.default_rng(seed).uniform(0, 300, (n, 2))
    assert air(at, at, Shortest()(at, at, NONE, ORIGIN)) < 1.15 * 0.7124 * math.sqrt(n) * 300


@pytest.mark.parametrize("route", [Listed(), Shortest()], ids=repr)
@pytest.mark.parametrize("before", [[[0, 1], [1, 0]], [[0, 1], [1, 2], [2, 0]], [[1, 1]]])
def test_blocks_that_wait_for_each_other_have_no_order(route: Route, before: list[list[int]]) -> None:
    at = np.zeros((3, 2))
    with pytest.raises(NoRoom, match=r"^no order of the cuts exists: some wait for each other$"):
        route(at, at, np.array(before), ORIGIN)


@pytest.mark.parametrize("route", [Listed(), Shortest()], ids=repr)
def test_no_blocks_no_order(route: Route) -> None:
    assert route(np.zeros((0, 2)), np.zeros((0, 2)), NONE, ORIGIN).tolist() == []


@pytest.mark.parametrize("route", [Listed(), Shortest()], ids=repr)
def test_a_wait_said_twice_counts_once(route: Route) -> None:
    at = np.array([[1.0, 0], [0, 0]])
    assert route(at, at, np.array([[0, 1], [0, 1]]), ORIGIN).tolist() == [0, 1]
