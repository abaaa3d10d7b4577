"""Evidence: moves of several programs joined, slices at a height, places that look alike, and stock at a step."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.evidence import Alike, Course, Cutting, Reading, quads
from kerfwright.moves import Event, Moves

MILL = Cutter(name="mill", number=1, form="end_mill", diameter=2.0, teeth=2, flute_length=8.0)
DRILL = Cutter(name="drill", number=2, form="drill", diameter=3.0, teeth=2, flute_length=20.0, point_angle=90.0)


def moves(nodes, *, turns=None, number=1, events=()):
    n = len(nodes) - 1
    curve = Curve(np.array(nodes, float), np.zeros(n) if turns is None else np.array(turns))
    return Moves(curve, np.full(n, 100.0), np.arange(1, n + 1), np.full(n, 1e4), np.full(n, number), tuple(events), n)


def course(*all_moves, cutter=None):
    return Course.of(
        [Reading(f"{i}.nc", "program", "", m, cutter=cutter) for i, m in enumerate(all_moves)], [MILL, DRILL]
    )


NAN = math.nan


def test_programs_are_joined_and_not_connected():
    a = moves([(NAN, NAN, 5), (0, 0, 5), (0, 0, -1), (10, 0, -1)])
    b = moves([(NAN, NAN, 5), (50, 50, 5), (50, 50, -1)], number=2)
    c = course(a, b)
    assert len(c) == 5
    assert c.known.tolist() == [False, True, True, False, True]
    assert c.cutter.tolist() == [0, 0, 0, 1, 1]
    assert c.across.tolist() == [True, False, True, True, False]
    assert c.where(4) == ("1.nc", 2)
    lines = Cutting.at(c, -0.5).lines
    assert shapely.total_bounds(lines) == pytest.approx([0, 0, 10, 0])  # the drill's full diameter is still above


@pytest.mark.parametrize(
    ("number", "given", "index"), [(1, None, 0), (2, MILL, 1), (9, MILL, -1), (0, MILL, 0), (0, None, -1)]
)
def test_a_t_word_goes_before_what_the_user_says(number, given, index):
    c = course(moves([(0, 0, 0), (1, 0, 0)], number=number), cutter=given)
    assert c.cutter.tolist() == [index]


def test_nothing_unread_is_followed():
    with pytest.raises(ValueError, match=r"odd\.nc was not read"):
        Course.of([Reading("odd.nc", "program", "", None)], [MILL])


def test_slopes_count_from_where_they_cross_the_height():
    c = course(moves([(0, 0, 1), (8, 0, -3), (8, 0, -4), (8, 6, -4)]))
    for level, start in ((0.0, 2.0), (-1.0, 4.0), (-3.0, 8.0)):
        cut = Cutting.at(c, level)
        assert shapely.length(cut.lines).sum() == pytest.approx(8 - start + 6)
        assert shapely.total_bounds(cut.lines)[0] == pytest.approx(start)
    assert len(Cutting.at(c, -4.5)) == 0


def test_a_drill_counts_where_its_point_has_passed():
    c = course(moves([(0, 0, 5), (0, 0, -3)], number=2))  # a point of 90 deg is 1.5 long: full diameter at -1.5
    assert len(Cutting.at(c, -1.4)) == 1
    assert len(Cutting.at(c, -1.6)) == 0
    assert Cutting.at(c, -1.4).low[0] == pytest.approx(-1.5)


def test_any_round_thing_on_the_spindle_can_be_asked():
    c = course(moves([(0, 0, 0), (10, 0, 0)]))
    nut = Cutting.at(c, 5.0, np.full(1, 4.0), np.full(1, 8.0))
    assert nut.radius.tolist() == [8.0] * len(nut)
    assert len(Cutting.at(c, 3.0, np.full(1, 4.0), np.full(1, 8.0))) == 0


def test_passes_over_the_same_way_count_once_with_the_first_time_and_the_lowest_place():
    square = [(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)]
    c = course(moves([(x, y, z) for z in (-1, -2, -3) for x, y in square]))
    cut = Cutting.at(c, -0.5)
    once = cut.distinct
    assert shapely.length(once.lines).sum() == pytest.approx(36)
    assert once.last.max() == 3  # the first lap is moves 0 to 3
    assert (once.low <= -3 + 1e-9).all()


def test_the_same_places_in_another_order_are_another_way():
    one = [(0, 0), (10, 0), (10, 10), (20, 10), (20, 20)]
    other = [(10, 0), (0, 0), (10, 10), (20, 10), (20, 20)]
    up = [(20, 20, 5), (10, 0, 5)]
    c = course(moves([*[(x, y, -1) for x, y in one], *up, *[(x, y, -1) for x, y in other]]))
    lines = Cutting.at(c, 0.0).distinct.lines
    assert shapely.length(lines).sum() == pytest.approx(40 + 10 + math.hypot(10, 10))  # what both share counts once


def test_a_closed_line_is_never_swept_in_one():
    """GEOS takes a closed line for a ring and its buffer may have a false hole."""
    c = course(moves([(x, y, -1.0) for x, y in [(0, 0), (1.5, 0), (1.5, 3.5), (0, 3.5), (0, 0)]]))
    cut = Cutting.at(c, 0.0)
    assert not shapely.is_closed(cut.lines).any()
    # radius 1 on a ring of 1.5 x 3.5: 2 sides and a half circle at each corner, and the hole inside is closed
    assert cut.swept().area == pytest.approx(3.5 * 5.5 - 4 + math.pi, abs=0.01)


HOOK = [
    (2.06341, -14.02922), (2.06955, -14.06800), (2.07354, -14.09682), (2.07658, -14.12242), (17.08644, -8.72544),
    (12.15700, 0.34106), (10.11547, 0.41312), (10.05234, 0.41735), (9.98961, 0.42556),
]  # fmt: skip
"""Fine moves, a corner, a long move: a buffer of the first four in one drops the corner (GEOS 3.14)."""


@pytest.mark.parametrize("radius", [1.0, 3.0, 4.2])
def test_a_sweep_takes_no_more_than_its_moves_do(radius):
    for way in (HOOK, HOOK[::-1]):
        c = course(moves([(x, y, -9.0) for x, y in way]))
        got = Cutting.at(c, 0.0, np.zeros(len(c)), np.full(len(c), radius)).swept()
        true = shapely.union_all(
            [shapely.buffer(shapely.LineString(e), radius, quad_segs=60) for e in zip(way, way[1:])]
        )
        assert shapely.difference(got, shapely.buffer(true, 0.003)).is_empty
        assert shapely.difference(true, shapely.buffer(got, 0.003)).is_empty


def test_what_is_gone_before_a_move():
    c = course(moves([(0, 0, -1), (10, 0, -1), (20, 0, -1), (30, 0, -1)]))
    cut = Cutting.at(c, 0.0)
    ends = [0 if not len(part) else shapely.total_bounds(part.lines)[2] for part in (cut.before(k) for k in range(4))]
    assert ends[0] == 0
    assert all(end <= 10 * k for k, end in enumerate(ends))
    assert ends[3] == 30


def test_nearest_move():
    c = course(moves([(0, 0, -1), (10, 0, -1), (10, 10, -1), (0, 10, -1)]))
    assert [c.nearest(*p, 0, 2) for p in [(5, 1), (9, 5), (5, 9)]] == [0, 1, 2]
    assert c.nearest(5, 1, 1, 2) in (1, 2)


@pytest.mark.parametrize(("radius", "tolerance"), [(0.4, 0.0005), (1.0, 0.0005), (9.0, 0.004), (0.001, 0.01)])
def test_quarters_keep_the_tolerance(radius, tolerance):
    step = math.pi / 2 / quads(radius, tolerance)
    assert radius * (1 - math.cos(step / 2)) <= tolerance + 1e-12


def rings(places):
    out = []
    for x, y, r in places:
        a = np.linspace(0, 2 * math.pi, 9)
        out += [shapely.LineString(np.column_stack([x + r * np.cos(h), y + r * np.sin(h)])) for h in (a[:5], a[4:])]
    return np.array(out)


def test_equal_shapes_have_one_model_and_others_their_own():
    lines = rings([(0, 0, 1), (10, 0, 1), (20, 3, 1.5), (30, 0, 1)])
    alike = Alike.of(lines, np.full(8, 0.1), np.ones(8))
    assert alike.group.tolist() == [0, 0, 1, 1, 2, 2, 3, 3]
    assert alike.model.tolist() == [0, 0, 2, 0]
    assert alike.chosen.tolist() == [True, True, False, False, True, True, False, False]
    a, b, v = alike.spread(np.array([1, 4]), np.array([0, 5]), np.array([7.0, 8.0]))
    assert sorted(zip(a.tolist(), b.tolist(), v.tolist())) == [(1, 0, 7.0), (3, 2, 7.0), (4, 5, 8.0), (7, 6, 7.0)]


@pytest.mark.parametrize(
    ("change", "models"),
    [
        (lambda p, r, m: (p, r, m), 1),
        (lambda p, r, m: (p + [[0, 0], [1e-3, 0]], r, m), 2),  # a hair off
        (lambda p, r, m: (p, r, m + [0, 1]), 2),  # another cutter
    ],
)
def test_a_hair_makes_it_another_shape(change, models):
    p, r, m = change(np.array([[0.0, 0.0], [5.0, 0.0]]), np.full(2, 0.1), np.array([1.0, 1.0]))
    lines = shapely.linestrings([[[0, 0], p[0] + [1, 1]], [[9, 0], p[1] + [5, 1]]])
    assert len(set(Alike.of(lines, r, m).model.tolist())) == models


reached = []


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 40), st.integers(0, 40), st.sampled_from([0.8, 1.0, 1.7])), min_size=2, max_size=9
    )
)
def test_distances_between_alike_places_are_those_measured_one_by_one(places):
    lines = rings(places)
    alike = Alike.of(lines, np.full(len(lines), 0.3), np.ones(len(lines)))
    mine = np.flatnonzero(alike.chosen)
    i, k = shapely.STRtree(lines[mine]).query(lines[mine], predicate="dwithin", distance=0.25)
    a, b, v = alike.spread(mine[i], mine[k], shapely.distance(lines[mine[i]], lines[mine[k]]))
    j, m = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=0.25)
    want = {(x, y): z for x, y, z in zip(j.tolist(), m.tolist(), shapely.distance(lines[j], lines[m]).tolist())}
    got = {(x, y): z for x, y, z in zip(a.tolist(), b.tolist(), v.tolist())}
    assert got == pytest.approx(want, abs=1e-9)
    reached.append(len(set(alike.model.tolist())) < alike.group.max() + 1)


def test_many_of_those_cases_had_something_alike():
    assert len(reached) >= 60
    assert sum(reached) >= 10


def test_events_do_not_move_anything():
    assert len(course(moves([(0, 0, 0), (1, 0, 0)], events=[Event("comment", "T2", 1, 0)]))) == 1
