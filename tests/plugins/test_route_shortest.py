"""The shortest route: the very shortest of a few blocks, and where there are many, no change that would make it shorter."""

from __future__ import annotations

import itertools
import math
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright_plugins.route._improving import improved
from kerfwright_plugins.route._nearest import nearest
from kerfwright_plugins.route._ways import Ways
from kerfwright_plugins.route.shortest import Shortest

NONE = np.zeros((0, 2), np.int64)
HERE = np.array([5.0, -3.0])
ENDS = ("anywhere", "start")


def waits(rng: np.random.Generator, n: int, count: int) -> np.ndarray:
    """Random waits that have an order."""
    hidden = rng.permutation(n)
    pairs = np.sort(rng.integers(0, n, (count, 2)), axis=1)
    return hidden[pairs[pairs[:, 0] < pairs[:, 1]]].reshape(-1, 2)


def blocks(rng: np.random.Generator, n: int, kind: int) -> tuple[np.ndarray, np.ndarray]:
    """Holes; cuts that end elsewhere; or holes on a raster, where many ways are equally long."""
    if kind == 2:
        at = rng.integers(0, 5, (n, 2)) * 10.0
        return at, at
    starts = rng.uniform(0, 300, (n, 2))
    return (starts, starts) if kind == 0 else (starts, starts + rng.normal(0, 60, (n, 2)))


def air(starts: np.ndarray, ends: np.ndarray, order: list[int], back: bool = False) -> float:
    """Way in the air, mm, by the plainest sum."""
    total, at = 0.0, HERE
    for k in order:
        total += math.dist(at, starts[k])
        at = ends[k]
    return total + (math.dist(at, HERE) if back else 0.0)


def keeps(order: list[int], before: np.ndarray) -> bool:
    return all(order.index(a) < order.index(b) for a, b in before.tolist())


def test_of_seven_blocks_none_is_shorter() -> None:
    """Against every order there is."""
    reached = 0

    @settings(max_examples=60, deadline=None, derandomize=True)
    @given(st.integers(1, 7), st.integers(0, 8), st.integers(0, 2), st.booleans(), st.integers(0, 2**32 - 1))
    def look(n: int, count: int, kind: int, back: bool, seed: int) -> None:
        nonlocal reached
        rng = np.random.default_rng(seed)
        starts, ends = blocks(rng, n, kind)
        before = waits(rng, n, count)
        allowed = [p for p in map(list, itertools.permutations(range(n))) if keeps(p, before)]
        lengths = [air(starts, ends, p, back) for p in allowed]
        order = Shortest(end=ENDS[back])(starts, ends, before, HERE).tolist()
        assert order in allowed
        assert air(starts, ends, order, back) == pytest.approx(min(lengths), abs=1e-4)
        reached += 1

    look()
    assert reached >= 60, f"only {reached} cases reached the assertion"


def changed(order: list[int]) -> list[list[int]]:
    """Every order one change away: a stretch in reverse; a run of up to three elsewhere, as it is or in reverse."""
    n, out = len(order), []
    for i, j in itertools.combinations(range(n + 1), 2):
        out.append(order[:i] + order[i:j][::-1] + order[j:])
    for size in (1, 2, 3):
        for i in range(n - size + 1):
            run, rest = order[i : i + size], order[:i] + order[i + size :]
            for k in range(len(rest) + 1):
                out += [rest[:k] + run + rest[k:], rest[:k] + run[::-1] + rest[k:]]
    return out


@pytest.mark.parametrize("kind", [0, 1, 2])
@pytest.mark.parametrize("count", [0, 40])
@pytest.mark.parametrize("back", [False, True])
def test_no_change_makes_sixty_blocks_shorter(kind: int, count: int, back: bool) -> None:
    """All changes are made and measured here, with nothing of the strategy's."""
    rng = np.random.default_rng(100 * kind + count)
    starts, ends = blocks(rng, 60, kind)
    before = waits(rng, 60, count)
    order = Shortest(end=ENDS[back])(starts, ends, before, HERE).tolist()
    length = air(starts, ends, order, back)
    tried = [p for p in changed(order) if keeps(p, before)]
    assert len(tried) > 1000
    tried_array = np.array(tried)
    way = np.hypot(*(starts[tried_array[:, 1:]] - ends[tried_array[:, :-1]]).transpose(2, 0, 1)).sum(axis=1)
    way += np.hypot(*(starts[tried_array[:, 0]] - HERE).T)
    way += np.hypot(*(ends[tried_array[:, -1]] - HERE).T) * back
    assert way.min() > length - 1e-4


def test_improving_only_ever_shortens_and_keeps_every_wait() -> None:
    """Random waits and places, more blocks than are solved outright; states how many orders were looked at."""
    reached = shorter = 0

    @settings(max_examples=80, deadline=None, derandomize=True)
    @given(st.integers(2, 40), st.integers(0, 60), st.integers(0, 2), st.booleans(), st.integers(0, 2**32 - 1))
    def look(n: int, count: int, kind: int, back: bool, seed: int) -> None:
        nonlocal reached, shorter
        rng = np.random.default_rng(seed)
        starts, ends = blocks(rng, n, kind)
        before = waits(rng, n, count)
        ways = Ways.of(starts, ends, HERE, back)
        first = nearest(ways, before)
        better = (improved(ways, before + 1, first + 1) - 1).tolist()
        assert sorted(better) == list(range(n))
        assert keeps(better, before)
        gain = air(starts, ends, first.tolist(), back) - air(starts, ends, better, back)
        assert gain > -1e-4
        shorter += gain > 1e-4
        reached += 1

    look()
    assert reached >= 80, f"only {reached} orders reached the assertion"
    assert shorter >= 40, f"only {shorter} orders became shorter"


def test_the_first_order_is_the_nearest_next() -> None:
    """Against the plainest loop, on a raster where many are equally near: the first listed of them."""
    rng = np.random.default_rng(7)
    for n in (1, 2, 5, 80):
        starts, _ = blocks(rng, n, 2)
        before = waits(rng, n, n)
        left, at, plain = set(range(n)), HERE, []
        while left:
            free = [b for b in sorted(left) if not any(y == b and x in left for x, y in before.tolist())]
            block = min(free, key=lambda b: (round(math.dist(at, starts[b]), 6), b))
            plain.append(block)
            left.remove(block)
            at = starts[block]
        assert nearest(Ways.of(starts, starts, HERE, False), before).tolist() == plain


def test_the_way_back_counts_only_where_it_is_asked_for() -> None:
    """Out along one row of holes and back along the other, or out and back in zigzags to the far end."""
    at = np.array([[x, y] for x in range(0, 200, 20) for y in (0.0, 30.0)])
    here = np.array([-20.0, 0.0])
    none = Shortest()(at, at, NONE, here)
    back = Shortest(end="start")(at, at, NONE, here)
    assert abs(at[back[-1], 0] - here[0]) < 45
    there = np.hypot(*np.diff(np.vstack([here, at[none]]), axis=0).T).sum()
    around = np.hypot(*np.diff(np.vstack([here, at[back], here]), axis=0).T).sum()
    assert there <= around - np.hypot(*(at[back[-1]] - here)) + 1e-6


def test_many_more_blocks_than_a_table_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same places with and without a table of ways: the same first order, and nearly as short."""
    rng = np.random.default_rng(3)
    at = rng.uniform(0, 500, (300, 2))
    before = waits(rng, 300, 60)
    lengths = []
    for limit in (2000, 10):
        monkeypatch.setattr("kerfwright_plugins.route._ways.TABLED", limit)
        monkeypatch.setattr("kerfwright_plugins.route._improving.TABLED", limit)
        ways = Ways.of(at, at, HERE, False)
        assert (ways.table is None) == (limit == 10)
        first = nearest(ways, before)
        order = (improved(ways, before + 1, first + 1) - 1).tolist()
        assert keeps(order, before)
        lengths.append((first.tolist(), air(at, at, order)))
    assert lengths[0][0] == lengths[1][0]
    assert lengths[1][1] < 1.03 * lengths[0][1]


def test_a_thousand_holes_in_less_than_five_seconds() -> None:
    at = np.random.default_rng(1).uniform(0, 1000, (1000, 2))
    begun = time.perf_counter()
    order = Shortest()(at, at, NONE, HERE)
    assert time.perf_counter() - begun < 5
    assert air(at, at, order.tolist()) < 1.1 * 0.7124 * math.sqrt(1000) * 1000
