"""What sweeps leave of an area, cell by cell, against the area without the union of all of them; parts against the whole."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from kerfwright.evidence import Alike, Course, Cutting, alike, course, cutting
from kerfwright_plugins.checks.uncovered import uncovered


def cut_of(lines: list[list[tuple[float, float]]], radii: list[float]) -> Cutting:
    """Lines at one height, each with its radius."""
    none = np.zeros(len(lines), np.int64)
    some = np.array([shapely.LineString(one) for one in lines], object)
    return Cutting(-1.0, some, np.array(radii), none, none, np.zeros(len(lines)))


@pytest.mark.parametrize("seed", range(6))
def test_cells_leave_what_the_union_leaves(seed: int) -> None:
    """Rows with gaps and chance lines of two radii over a plate with an opening; some of it is always left."""
    rng = np.random.default_rng(seed)
    area = shapely.difference(shapely.box(0, 0, 30, 20), shapely.buffer(shapely.Point(12, 9), 4))
    rows = [[(0.0, y), (30.0, y + rng.uniform(-0.4, 0.4))] for y in np.arange(0.5, 20, 1.6)]
    some = [rng.uniform(0, 30, (5, 2)).round(3).tolist() for _ in range(4)]
    lines = [*rows[: len(rows) - 1 - seed], *some]
    cut = cut_of(lines, [(1.3, 0.9, 0.9)[k % 3] for k in range(len(lines))])
    left = uncovered(area, cut)
    wanted = shapely.difference(area, shapely.union_all(cut.sweeps(0.002)))
    assert wanted.area > 0.01
    assert shapely.area(left).sum() == pytest.approx(wanted.area, abs=1e-9)
    assert shapely.symmetric_difference(shapely.union_all(left), wanted).area < 1e-9
    big = shapely.get_parts(wanted)
    assert (shapely.area(left) > 1e-6).sum() == (shapely.area(big) > 1e-6).sum()


def test_where_nothing_is_cut_all_is_left() -> None:
    """And where all is swept, nothing is."""
    area = shapely.box(0, 0, 7, 5)
    empty = cut_of([[(0, 0), (1, 1)]], [1.0]).take(np.zeros(0, np.int64))
    (left,) = uncovered(area, empty)
    assert left.equals(area)
    rows = [[(0.0, y), (7.0, y)] for y in np.arange(0.0, 5.5, 0.5)]
    assert not len(uncovered(area, cut_of(rows, [1.0] * len(rows))))


def test_a_part_at_a_time_is_the_whole(bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """Chords, lines and clusters of a program with arcs and two depths, made in parts of three, are those made at once."""
    hand = bench.Hand().opening()
    for k in range(12):
        hand.down(8.0 * k + 3, 5, -1.0).circle(8.0 * k, 5, 3.0).move(600, 8.0 * k, 9.0, -0.2).rapid(z=8.0)
    reading = hand.closing().reading()
    whole = Course.of((reading,), (bench.mill,))
    cut = Cutting.at(whole, -0.5)
    once = Alike.of(cut.lines, cut.radius, cut.radius)
    for module in (course, cutting, alike):
        monkeypatch.setattr(module, "MANY", 3)
    parts = Course.of((reading,), (bench.mill,))
    for one, other in zip(whole.chords, parts.chords, strict=True):
        assert np.abs(one - other).max() < 1e-12
    again = Cutting.at(parts, -0.5)
    assert len(cut) == len(again) > 12
    assert shapely.equals_exact(cut.lines, again.lines, 1e-9).all()
    assert (cut.first == again.first).all()
    assert (cut.last == again.last).all()
    assert (Alike.of(again.lines, again.radius, again.radius).group == once.group).all()
