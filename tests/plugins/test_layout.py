"""Where copies lie."""

from __future__ import annotations

import pytest
import shapely

from kerfwright.errors import NoRoom
from kerfwright_plugins.layout.grid import Grid
from kerfwright_plugins.layout.placed import Placed

PART = shapely.box(5, 5, 35, 25)  # 30 x 20 mm, drawn away from its zero


def test_placed_is_where_the_job_says() -> None:
    rows = Placed()(PART, ((20.0, 20.0), (60.0, 20.0)), 90.0)
    assert rows.tolist() == [[20, 20, 90], [60, 20, 90]]


def test_a_grid_by_hand() -> None:
    """Columns 30 + 8 apart, rows 20 + 8, the first at the part's place, along X first."""
    rows = Grid(columns=3, rows=2, gap=8)(PART, ((20.0, 10.0),), 0.0)
    assert rows.tolist() == [[20, 10, 0], [58, 10, 0], [96, 10, 0], [20, 38, 0], [58, 38, 0], [96, 38, 0]]


@pytest.mark.parametrize(
    ("turn", "pitch"), [(0.0, (35, 25)), (90.0, (25, 35)), (180.0, (35, 25)), (45.0, (40.355, 40.355))]
)
def test_a_grid_counts_the_turned_extent(turn: float, pitch: tuple[float, float]) -> None:
    """Turned by 45 degrees 30 x 20 mm take 50 / sqrt 2 = 35.355 mm both ways; gap 5."""
    rows = Grid(columns=2, rows=2, gap=5)(PART, ((0.0, 0.0),), turn)
    assert rows[3, :2].tolist() == pytest.approx(pitch, abs=1e-3)
    assert set(rows[:, 2].tolist()) == {turn}


@pytest.mark.parametrize("turn", [0.0, 33.0, 90.0])
def test_neighbours_lie_a_gap_apart(shape: shapely.Polygon, turn: float) -> None:
    turned = shapely.affinity.rotate(shape, turn, origin=(0, 0))
    x0, y0, _, _ = turned.bounds
    rows = Grid(columns=2, rows=2, gap=3)(shape, ((7.0, 9.0),), turn)
    boxes = [shapely.box(*shapely.affinity.translate(turned, x - x0, y - y0).bounds) for x, y, _ in rows]
    assert boxes[0].bounds[:2] == pytest.approx((7, 9))
    assert boxes[0].distance(boxes[1]) == pytest.approx(3)
    assert boxes[0].distance(boxes[2]) == pytest.approx(3)


@pytest.mark.parametrize(
    ("at", "message"),
    [
        ((), "a grid starts at one place, 0 are given; name one, or leave the layout out"),
        (((0.0, 0.0), (50.0, 0.0)), "a grid starts at one place, 2 are given; name one, or leave the layout out"),
    ],
)
def test_a_grid_of_many_starts_is_refused(at: tuple[tuple[float, float], ...], message: str) -> None:
    with pytest.raises(NoRoom) as told:
        Grid(columns=2)(PART, at, 0.0)
    assert str(told.value) == message
