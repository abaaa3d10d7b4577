"""The route that asks a library: what must come first does, it is never longer than `shortest`, and without the library
it says so."""

from __future__ import annotations

import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kerfwright as kw
from kerfwright.arrays import Ints
from kerfwright.errors import InputError, NoRoom
from kerfwright_plugins.route._tour import library, tour
from kerfwright_plugins.route._ways import Ways
from kerfwright_plugins.route.search import MOST, Search, _keeping
from kerfwright_plugins.route.shortest import Shortest

NONE = np.zeros((0, 2), np.int64)
HERE = np.array([5.0, -3.0])
ENDS = ("anywhere", "start")
JOB = """
job: plate
machine: light-router
sheet: {material: cfrp, size: [220, 160], thickness: 2, breakthrough: 0.5, board: 12, hold: screws}
cutters:
  mill: {form: end_mill, flutes: burr, diameter: 1.8, teeth: 6, flute_length: 8}
parts:
  - name: plate
    at: [20, 20]
    shapes:
      - rectangle: {corner: [0, 0], size: [100, 60]}
      - circle: {center: [20, 20], diameter: 3.2}
      - circle: {center: [50, 40], diameter: 3.2}
operations:
  - profile: {cutter: mill, select: inner, route: {search: {effort: 0.1}}}
  - profile: {cutter: mill, select: outer, bridges: {width: 0.8, thickness: 0.5, spacing: 60}}
"""


def waits(rng: np.random.Generator, n: int, count: int) -> np.ndarray:
    """Random waits that have an order."""
    hidden = rng.permutation(n)
    pairs = np.sort(rng.integers(0, n, (count, 2)), axis=1)
    return hidden[pairs[pairs[:, 0] < pairs[:, 1]]].reshape(-1, 2)


def length(starts: np.ndarray, ends: np.ndarray, order: Ints, back: bool = False) -> float:
    """Way in the air, mm."""
    stops = np.vstack([HERE, ends[order]])
    nexts = np.vstack([starts[order], HERE])
    return float(np.hypot(*(stops - nexts).T)[: None if back else -1].sum())


def has_library() -> bool:
    try:
        library()
    except NoRoom:
        return False
    return True


needs_library = pytest.mark.skipif(not has_library(), reason="fast-tsp, the library of the extra `search`, is absent")


@needs_library
@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("kind", ["holes", "cuts"])
@pytest.mark.parametrize(("n", "count"), [(0, 0), (1, 0), (5, 4), (15, 0), (40, 0), (40, 50)])
def test_it_keeps_its_promise_and_is_never_longer_than_shortest(n: int, count: int, kind: str, end: str) -> None:
    rng = np.random.default_rng(n + count)
    starts = rng.uniform(0, 300, (n, 2))
    ends = starts + (rng.normal(0, 40, (n, 2)) if kind == "cuts" else 0.0)
    before = waits(rng, n, count) if n else NONE
    kept = [a.tobytes() for a in (starts, ends, before)]
    order = Search(effort=0.1, end=end)(starts, ends, before, HERE)
    plain = Shortest(end=end)(starts, ends, before, HERE)
    assert length(starts, ends, order, end == "start") <= length(starts, ends, plain, end == "start") + 1e-6
    assert [a.tobytes() for a in (starts, ends, before)] == kept


@needs_library
def test_of_two_hundred_holes_the_way_becomes_shorter() -> None:
    at = np.random.default_rng(4).uniform(0, 300, (200, 2))
    found = Search(effort=0.5)(at, at, NONE, HERE)
    assert length(at, at, found) < 0.99 * length(at, at, Shortest()(at, at, NONE, HERE))


@needs_library
@pytest.mark.parametrize("seed", [0, 9999])
def test_up_to_eighteen_blocks_it_is_reproducible(seed: int) -> None:
    at = np.random.default_rng(seed).uniform(0, 300, (18, 2))
    route = Search(seed=seed, effort=0.1)
    assert route(at, at, NONE, HERE).tolist() == route(at, at, NONE, HERE).tolist()


@needs_library
def test_through_the_whole_way() -> None:
    registry = kw.Registry.load()
    result = kw.make(kw.load_job("plate.yaml", registry, text=JOB), registry)
    assert result.ok


def test_without_the_library_the_operation_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "fast_tsp", None)
    registry = kw.Registry.load()
    job = kw.load_job("plate.yaml", registry, text=JOB)
    with pytest.raises(InputError) as told:
        kw.make(job, registry)
    assert [str(f) for f in told.value.faults] == [
        "plate.yaml:15:51: operations[0].profile.route: the order of the cuts: no room: the route `search` needs the "
        "library fast-tsp, which is not installed: pip install 'kerfwright[search]', or take the route `shortest`"
    ]


def test_more_blocks_than_it_takes_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kerfwright_plugins.route.search.library", lambda: None)
    at = np.zeros((MOST + 1, 2))
    with pytest.raises(
        NoRoom, match=r"^search takes at most 5000 cuts at once, found 5001: take the route `shortest`$"
    ):
        Search()(at, at, NONE, HERE)


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_what_the_library_is_asked_and_how_its_answer_is_read(seed: int, back: bool) -> None:
    """The library played by trying every round tour of six or seven numbers: the order must be the shortest there is."""
    import itertools

    def every(matrix: Ints) -> list[int]:
        assert (matrix == matrix.T).all()
        assert 0 <= matrix.min() <= matrix.max() < 2**16
        tours = np.array([(0, *p) for p in itertools.permutations(range(1, len(matrix)))])
        return [int(v) for v in tours[np.argmin(matrix[tours, np.roll(tours, -1, axis=1)].sum(axis=1))]]

    at = np.random.default_rng(seed).uniform(0, 300, (5, 2))
    order = tour(Ways.of(at, at, HERE, back), every, seed)
    best = min(length(at, at, np.array(p), back) for p in itertools.permutations(range(5)))
    assert length(at, at, order, back) == pytest.approx(best, rel=1e-3)


def test_an_order_put_right_keeps_every_wait() -> None:
    """Random orders and waits; states how many waits were looked at."""
    reached = 0

    @settings(max_examples=150, deadline=None, derandomize=True)
    @given(st.integers(1, 30), st.integers(0, 60), st.integers(0, 2**32 - 1))
    def look(n: int, count: int, seed: int) -> None:
        nonlocal reached
        rng = np.random.default_rng(seed)
        before, order = waits(rng, n, count), rng.permutation(n)
        right = _keeping(order, before).tolist()
        assert sorted(right) == list(range(n))
        for a, b in before.tolist():
            assert right.index(a) < right.index(b)
            reached += 1

    look()
    assert reached > 500, f"only {reached} waits reached the assertion"
    assert _keeping(np.array([2, 0, 1, 3]), np.array([[3, 2], [1, 2]])).tolist() == [1, 3, 2, 0]
    assert _keeping(np.array([2, 0, 1]), NONE).tolist() == [2, 0, 1]
