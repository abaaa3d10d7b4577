"""Offsets, arcs recovered, sweeps: against geometry worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.curve import Curve
from kerfwright.fineness import chords_of_circle, quad_segs
from kerfwright.offset import offset
from kerfwright.recovery import recover
from kerfwright.sweep import flat_runs, rings_of, strands, swept, unswept

DISTANCES = [2.0, 0.9, 0.0, -1.0]


def near(curve: Curve, ring: shapely.LinearRing, tolerance: float) -> bool:
    """Whether each lies within `tolerance` of the other, judged at points 0.02 mm apart (chords of 1e-5 mm besides)."""
    fine, line = curve.path(1e-5), shapely.LineString(ring.coords)
    for one, other in ((fine, line), (line, fine)):
        shapely.prepare(one)
        points = shapely.points(shapely.get_coordinates(shapely.segmentize(other, 0.02)))
        if not shapely.dwithin(one, points, tolerance + 2e-5).all():
            return False
    return True


def test_the_measure_sees_a_thousandth() -> None:
    square = shapely.box(0, 0, 5, 5).exterior
    bulged = Curve(np.array([[0, 0, 0], [5, 0, 0], [5, 5, 0], [0, 5, 0], [0, 0, 0.0]]), np.array([0.0012, 0, 0, 0]))
    assert near(bulged, square, 0.0015)  # 5 / 2 tan(0.0003) = 0.00075
    assert not near(bulged, square, 0.0007)


@pytest.mark.parametrize("distance", DISTANCES)
def test_recovered_curves_keep_within_the_tolerance_of_their_rings(shape: shapely.Polygon, distance: float) -> None:
    rings = rings_of(offset(shape, distance))
    curves = recover(rings)
    assert len(curves) == len(rings)
    for curve, ring in zip(curves, rings, strict=True):
        assert curve.closed
        assert np.array_equal(curve.start, curve.end)
        assert np.abs(curve.turns).max() <= 1.05 * math.pi
        assert not curve.nodes[:, 2].any()
        assert math.copysign(1, curve.signed_area) == (1 if ring.is_ccw else -1)
        assert near(curve, ring, 0.001)


@pytest.mark.parametrize("tolerance", [0.0006, 0.001, 0.005])
def test_a_tolerance_asked_for_is_kept(shapes: dict[str, shapely.Polygon], tolerance: float) -> None:
    rings = rings_of(offset(shapes["gear"], 1.0))
    assert all(near(c, r, tolerance) for c, r in zip(recover(rings, tolerance), rings, strict=True))


def test_all_rings_at_once_are_the_same_as_one_by_one(shapes: dict[str, shapely.Polygon]) -> None:
    """Lock-step: no ring knows of another."""
    rings = rings_of(offset(np.array(list(shapes.values())), 0.7))
    together, alone = recover(rings), [recover([r])[0] for r in rings]
    assert [c.nodes.tobytes() + c.turns.tobytes() for c in together] == [
        c.nodes.tobytes() + c.turns.tobytes() for c in alone
    ]


def test_two_calls_give_the_same_bytes_and_leave_the_rings_alone(shape: shapely.Polygon) -> None:
    rings = rings_of(offset(shape, 0.8))
    kept = shapely.to_wkb(rings)
    a, b = recover(rings), recover(rings)
    assert [c.nodes.tobytes() + c.turns.tobytes() for c in a] == [c.nodes.tobytes() + c.turns.tobytes() for c in b]
    assert (shapely.to_wkb(rings) == kept).all()


def test_a_moved_copy_starts_at_the_same_place() -> None:
    """Distances that no float holds exactly."""
    shape = shapely.union_all([shapely.box(0, 0, 30, 20), shapely.Point(30, 10).buffer(7, quad_segs=60)])
    here = recover(rings_of(offset(shape, 1.1)))[0]
    for dx, dy in [(0.1, 0.3), (37.7, 91.3), (1234.567, 0.123)]:
        there = recover(rings_of(offset(shapely.affinity.translate(shape, dx, dy), 1.1)))[0]
        assert len(there) == len(here)
        assert np.abs(there.nodes - [dx, dy, 0] - here.nodes).max() < 1e-6
        assert np.abs(there.turns - here.turns).max() < 1e-6


@pytest.mark.parametrize(("radius", "distance"), [(2.5, 1.0), (2.5, -1.0), (8.0, 0.4), (40.0, -3.0), (1.0, 5.0)])
def test_a_circle_comes_back_as_two_half_circles(radius: float, distance: float) -> None:
    for shape, sign in ((Curve.circle(3, 4, radius).polygon(), 1), (Curve.circle(3, 4, radius).polygon(), -1)):
        area = shape if sign > 0 else shapely.box(-90, -90, 90, 90).difference(shape)
        grown = offset(area, distance * sign)
        ring = grown.exterior if sign > 0 else grown.interiors[0]
        (curve,) = recover([ring])
        assert curve.turns.tolist() == [sign * math.pi] * 2
        assert np.abs(curve.radii - (radius + distance)).max() < 0.0008
        assert np.abs(curve.centers - [3, 4]).max() < 1e-6


def test_arcs_and_lines_of_a_slot_come_back() -> None:
    """A slot 30 long between centers, 10 wide, offset by 1.5 to both sides: two lines of 30, two half circles."""
    slot = Curve(
        np.array([[0, -5, 0], [30, -5, 0], [30, 5, 0], [0, 5, 0], [0, -5, 0.0]]), np.array([0, np.pi, 0, np.pi])
    )
    for distance in (1.5, -1.5):
        (curve,) = recover(rings_of(offset(slot.polygon(), distance)))
        round_ = np.abs(curve.turns) > 1e-12
        assert curve.turns.sum() == pytest.approx(2 * math.pi, abs=0.05)
        assert curve.radii[round_] == pytest.approx(np.full(round_.sum(), 5 + distance), abs=0.001)
        assert set(curve.centers[round_][:, 0].round(2)) == {0.0, 30.0}
        assert curve.lengths[~round_].sum() == pytest.approx(60, abs=0.3)
        assert curve.length == pytest.approx(60 + 2 * math.pi * (5 + distance), abs=0.003)


def test_corners_of_a_rectangle_become_quarter_circles() -> None:
    (curve,) = recover(rings_of(offset(shapely.box(0, 0, 60, 40), 2)))
    assert sorted(curve.turns.round(9)) == [0] * 4 + [round(math.pi / 2, 9)] * 4
    assert np.abs(curve.radii[curve.turns != 0] - 2).max() < 1e-9
    assert curve.signed_area == pytest.approx(60 * 40 + 2 * 100 * 2 + math.pi * 4, abs=1e-9)


def test_corners_on_a_circle_stay_corners() -> None:
    """Four, six and twelve vertices that lie on one circle exactly, and are no circle."""
    for n in (3, 4, 6, 12):
        a = np.arange(n) * 2 * np.pi / n
        (curve,) = recover([shapely.LinearRing(np.column_stack([9 * np.cos(a), 9 * np.sin(a)]))])
        assert len(curve) == n
        assert not curve.turns.any()


def test_repeated_vertices_make_no_segments_without_length() -> None:
    ring = shapely.LinearRing([(0, 0), (10, 0), (10, 0), (10, 1e-8), (10, 10), (0, 10), (0, 10), (0, 0)])
    (curve,) = recover([ring])
    assert len(curve) == 4
    assert curve.lengths.min() > 9.99


def test_a_speck_of_a_ring_is_still_a_closed_curve() -> None:
    """An offset may end in a point, all but."""
    speck = shapely.LinearRing([(0, 0), (4e-7, 0), (4e-7, 4e-7), (0, 0)])
    for curve in recover([shapely.box(0, 0, 1, 1).exterior, speck]):
        assert len(curve) >= 2
        assert curve.closed


def test_no_rings_no_curves() -> None:
    assert recover([]) == []
    assert recover(rings_of(offset(shapely.box(0, 0, 1, 1), -2))) == []


def test_random_outlines_keep_within_the_tolerance() -> None:
    """Stars of random radii, offset by random distances; states how many rings were measured."""
    reached = 0

    @settings(max_examples=30, deadline=None, derandomize=True)
    @given(
        st.lists(st.floats(2, 20), min_size=5, max_size=24),
        st.floats(-1.5, 3),
    )
    def measure(radii: list[float], distance: float) -> None:
        nonlocal reached
        a = np.arange(len(radii)) * 2 * np.pi / len(radii)
        r = np.array(radii)
        rings = rings_of(offset(shapely.Polygon(np.column_stack([r * np.cos(a), r * np.sin(a)])), distance))
        for curve, ring in zip(recover(rings), rings, strict=True):
            assert curve.closed
            assert near(curve, ring, 0.001)
            reached += 1

    measure()
    assert reached >= 25, f"only {reached} rings reached the assertion"


def test_area_of_an_offset_is_steiners() -> None:
    """Area + perimeter d + pi d2 for a convex outline; minus perimeter d + 4 d2 for a rectangle shrunk."""
    box, d = shapely.box(0, 0, 30, 20), 3.0
    assert offset(box, d).area == pytest.approx(600 + 100 * d + math.pi * d * d, abs=2 * math.pi * d * 0.0005)
    assert offset(box, -d).area == pytest.approx(600 - 100 * d + 4 * d * d, abs=1e-9)


def test_inside_lies_left_of_travel(shape: shapely.Polygon) -> None:
    for part in shapely.get_parts(offset(np.array([shape, shape]), np.array([0.5, -0.5]))):
        assert part.exterior.is_ccw
        assert not any(hole.is_ccw for hole in part.interiors)


def test_a_neck_too_narrow_for_the_cutter_closes(shapes: dict[str, shapely.Polygon]) -> None:
    assert len(shapely.get_parts(offset(shapes["neck"], -1))) == 2
    assert len(rings_of(offset(shapes["neck"], -1))) == 2
    assert offset(shapes["ring"], -1).is_empty


@pytest.mark.parametrize("nothing", [[], [shapely.Polygon()]], ids=["no outline", "an empty one"])
def test_the_offset_of_nothing_is_nothing(nothing: list[shapely.Polygon]) -> None:
    got = offset(np.array(nothing, object), 1.0)
    assert got.shape == (len(nothing),)
    assert shapely.is_empty(got).all()


@pytest.mark.parametrize("distance", [math.nan, math.inf, -math.inf])
def test_a_distance_that_is_no_number_is_refused(distance: float) -> None:
    with pytest.raises(ValueError, match="allowed: a finite number of mm"):
        offset(shapely.box(0, 0, 1, 1), distance)


def test_an_outline_that_crosses_itself_is_refused() -> None:
    with pytest.raises(ValueError, match="crosses or touches itself"):
        offset(shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)]), 1.0)


@given(st.floats(0.05, 500), st.floats(0.0001, 0.05))
def test_chords_are_as_few_as_the_tolerance_allows(radius: float, tolerance: float) -> None:
    """r (1 - cos(pi/n)) is at most the tolerance, and with one chord less it is not."""
    n = chords_of_circle(radius, tolerance)
    assert radius * (1 - math.cos(math.pi / n)) <= tolerance * (1 + 1e-6) or n == 3
    assert n == 3 or radius * (1 - math.cos(math.pi / (n - 1))) > tolerance * (1 - 1e-6)
    assert 4 * quad_segs(radius, tolerance) >= n


@pytest.mark.parametrize(("width", "height"), [(1.5, 3.5), (0.4, 3.5), (1.8, 1.8), (0.02, 5.0)])
@pytest.mark.parametrize("edge", [10.0, 0.3, 0.013])
def test_a_small_loop_sweeps_all_that_lies_in_it(width: float, height: float, edge: float) -> None:
    """Loops no wider than the cutter leave no hole: w h + 2 (w + h) r + pi r2, however many vertices they have."""
    r = 0.9
    p = shapely.get_coordinates(shapely.segmentize(shapely.box(0, 0, width, height).exterior, edge))
    got = swept([Curve.line(p)], r)
    assert got.area == pytest.approx(width * height + 2 * (width + height) * r + math.pi * r * r, abs=0.007)
    assert not len(got.interiors)


def test_a_loop_wider_than_the_cutter_leaves_its_middle() -> None:
    """30 x 20 with r 1: outside + 100 + pi, inside 28 x 18 stays."""
    got = swept([Curve.line(shapely.get_coordinates(shapely.box(0, 0, 30, 20).exterior))], 1.0)
    assert got.area == pytest.approx(600 + 100 + math.pi - 28 * 18, abs=0.01)


def test_a_plunge_sweeps_a_disc() -> None:
    for plunge in (Curve.line([[3, 4, 0], [3, 4, -2]]), Curve(np.array([[3.0, 4.0, 0.0]]), np.zeros(0))):
        assert swept([plunge], 2.0).area == pytest.approx(4 * math.pi, abs=0.02)


@given(st.lists(st.integers(1, 300), min_size=1, max_size=6), st.integers(1, 60))
def test_strands_carry_every_edge_once_and_none_is_closed(counts: list[int], most: int) -> None:
    n = sum(counts)
    angle = np.concatenate([np.linspace(0, 2 * np.pi, c) for c in counts])  # each run a closed circle
    points = np.column_stack([np.cos(angle), np.sin(angle)])
    starts = np.zeros(n, bool)
    starts[np.cumsum([0, *counts[:-1]])] = True
    lines, run = strands(points, starts, most)
    edges = shapely.get_num_points(lines) - 1
    assert edges.max() <= most
    assert np.bincount(run, weights=edges).tolist() == [max(c - 1, 1) for c in counts]
    assert shapely.length(lines).sum() == pytest.approx(np.hypot(*np.diff(points, axis=0)[~starts[1:]].T).sum())
    long = edges > 1
    assert not shapely.is_closed(lines[long]).any()


def test_no_curves_no_strands() -> None:
    assert len(strands(*flat_runs([]))[0]) == 0


def test_what_is_left_between_rings_is_found() -> None:
    """Rings 0 and 3 mm inside a square, cutter radius 1: a frame 1 mm wide stays between them."""
    region = shapely.box(0, 0, 20, 20)
    rings = [
        Curve.line(shapely.get_coordinates(shapely.box(d, d, 20 - d, 20 - d).exterior))
        for d in [0.0, *np.arange(3, 10, 0.9)]
    ]
    left = unswept(region, rings, 1.0)
    assert len(left) == 1
    # from 1 to 2 inside, grown by half of the slack of 0.01 on both sides; its inner corners round about those at 3
    rounded = (4 - math.pi) * 0.995**2
    assert left[0].area == pytest.approx(18.01**2 - 15.99**2 + rounded, abs=0.01)
    more = Curve.line(shapely.get_coordinates(shapely.box(1.5, 1.5, 18.5, 18.5).exterior))
    assert len(unswept(region, [*rings, more], 1.0)) == 0


def edge_by_edge(points: np.ndarray, radius: float) -> shapely.Geometry:
    """Sweep of each edge by itself: lines of two points, of which GEOS drops none."""
    edges = shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1))
    return shapely.union_all(shapely.buffer(edges, radius, quad_segs=quad_segs(radius, 0.001)))


HOOK = np.array(
    [[2.06341, -14.02922], [2.06955, -14.06800], [2.07354, -14.09682], [2.07658, -14.12242], [17.08644, -8.72544],
     [12.15700, 0.34106], [10.11547, 0.41312], [10.05234, 0.41735], [9.98961, 0.42556]]
)  # fmt: skip
"""Fine chords, a corner, a long edge: one buffer of the whole takes 0.3 mm2 too much for a radius of 4.2 (GEOS 3.14)."""


@pytest.mark.parametrize("radius", [0.5, 1.0, 2.0, 3.0, 4.2])
def test_a_sweep_takes_no_more_than_its_edges_do(radius: float) -> None:
    for points in (HOOK, HOOK[::-1]):
        got, true = swept([Curve.line(points)], radius), edge_by_edge(points, radius)
        assert shapely.difference(got, shapely.buffer(true, 0.003)).is_empty
        assert shapely.difference(true, shapely.buffer(got, 0.003)).is_empty


@pytest.mark.parametrize("seed", range(6))
def test_offsets_lose_nothing_where_fillets_meet_long_edges(seed: int) -> None:
    """Random stars with holes, their corners rounded by a first offset, against sweeps edge by edge: within 0.002 mm."""
    rng = np.random.default_rng(seed)
    angle = np.sort(rng.uniform(0, 2 * np.pi, 14))
    r = rng.uniform(6, 25, 14)
    star = shapely.Polygon(np.column_stack([r * np.cos(angle), r * np.sin(angle)])).buffer(0)
    holes = [shapely.Point(*rng.uniform(-9, 9, 2)).buffer(2.0, quad_segs=60) for _ in range(2)]
    for first in shapely.get_parts(offset(star.difference(shapely.union_all(holes)), -0.75)):
        for distance in (-1.0, -2.1, -3.3):
            got, true = offset(first, distance), first
            for ring in rings_of(first):
                true = shapely.difference(true, edge_by_edge(shapely.get_coordinates(ring), -distance))
            assert shapely.difference(got, shapely.buffer(true, 0.002)).area < 1e-5
            assert shapely.difference(true, shapely.buffer(got, 0.002)).area < 1e-5
