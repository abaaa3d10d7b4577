"""Rings that clear an area: what they leave is measured with plain buffers, not with the sweep they were made by."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.errors import BrokenPromise, NoRoom
from kerfwright.offset import offset
from kerfwright.strategy import Cover
from kerfwright_plugins.cover.contour_parallel import ContourParallel


def regions(shape: shapely.Polygon, radius: float) -> list[shapely.Polygon]:
    """Where the center of a cutter may go inside a shape."""
    return [g for g in shapely.get_parts(offset(shape, -radius)) if not g.is_empty]


def taken(curves: list[Curve], radius: float) -> shapely.Geometry:
    """Discs swept along each chord by itself."""
    points = [c.flat(0.002)[0][:, :2] for c in curves]
    chords = np.vstack([np.stack([p[:-1], p[1:]], axis=1) for p in points])
    return shapely.union_all(shapely.buffer(shapely.linestrings(chords), radius, quad_segs=20))


@pytest.mark.parametrize(
    ("radius", "fraction"), [(1.0, 0.25), (1.0, 0.5), (1.0, 0.6), (1.0, 0.8), (1.0, 0.9), (0.4, 0.7)]
)
def test_nothing_reachable_is_left_and_nothing_else_is_cut(
    shape: shapely.Polygon, radius: float, fraction: float
) -> None:
    """What the sweep grown by 0.01 mm does not hold is left; what lies 0.003 mm outside of the reach is gouged."""
    for region in regions(shape, radius):
        curves = ContourParallel()(region, radius, fraction * 2 * radius)
        sweep, reach = taken(curves, radius), shapely.buffer(region, radius, quad_segs=64)
        assert shapely.difference(reach, shapely.buffer(sweep, 0.01)).is_empty
        assert shapely.covers(shapely.buffer(region, 0.003), shapely.multilinestrings([c.path() for c in curves]))
        assert shapely.difference(sweep, shapely.buffer(reach, 0.003)).is_empty


@pytest.mark.parametrize("fraction", [0.9])
def test_two_calls_give_the_same_bytes(shape: shapely.Polygon, fraction: float) -> None:
    for region in regions(shape, 1.0):
        kept = shapely.to_wkb(region)
        a, b = (ContourParallel()(region, 1.0, fraction * 2.0) for _ in range(2))
        assert [c.nodes.tobytes() + c.turns.tobytes() for c in a] == [c.nodes.tobytes() + c.turns.tobytes() for c in b]
        assert shapely.to_wkb(region) == kept


@pytest.mark.parametrize("fraction", [0.3, 0.5])
def test_up_to_half_of_the_diameter_rings_are_closed_and_the_inner_comes_first(
    shape: shapely.Polygon, fraction: float
) -> None:
    for region in regions(shape, 0.7):
        curves = ContourParallel()(region, 0.7, fraction * 1.4)
        assert all(c.closed for c in curves)
        areas = np.array([c.polygon(0.001) for c in curves if c.signed_area > 0], object)
        inner, outer = shapely.STRtree(areas).query(shapely.get_point(shapely.get_exterior_ring(areas), 0), "within")
        assert (inner[inner != outer] < outer[inner != outer]).all()


@pytest.mark.parametrize("fraction", [0.4, 0.9])
def test_the_wall_is_on_the_right(shape: shapely.Polygon, fraction: float) -> None:
    """To the left of every ring the wall lies further off, to the right nearer, or is left behind."""
    seen, some = 0, regions(shape, 0.7)
    for region in some:
        for c in ContourParallel()(region, 0.7, fraction * 1.4):
            mid = shapely.points(c.at((c.s[:-1] + c.s[1:]) / 2)[0][:, :2])
            nth = shapely.distance(mid, region.boundary) / (fraction * 1.4)
            ring = np.abs(nth - np.round(nth)) < 0.003  # the rest is detours
            if not ring.any():
                continue
            seen += 1
            k = int(np.argmax(np.where(ring, c.lengths, 0)))
            p, a = c.at((c.s[k] + c.s[k + 1]) / 2)
            left = np.array([-np.sin(a[0]), np.cos(a[0])]) * 0.02
            off = shapely.distance(shapely.points([p[0, :2] + left, p[0, :2] - left]), region.boundary)
            inside = shapely.contains(region, shapely.points(p[0, :2] - left))
            assert not inside or off[0] > off[1]
    assert seen >= len(some)


def test_islands_are_cut_with_the_ring_around_them() -> None:
    """A square of 30 with an island: the curve after an outer ring goes around the island, the other way round."""
    region = shapely.box(0, 0, 30, 30).difference(shapely.box(12, 12, 18, 18))
    curves = ContourParallel()(region, 1.0, 0.8)
    assert [c.signed_area > 0 for c in curves[-2:]] == [True, False]
    assert curves[-2].bounds == pytest.approx((0, 0, 30, 30))
    assert curves[-1].bounds == pytest.approx((12, 12, 18, 18))


def test_a_wide_advance_takes_what_rings_would_leave_by_detours() -> None:
    """In a square of 40 twelve rings lie 1.8 mm apart. From the corners of all but the outermost a spike leads outward:
    the next ring's corner is 2.546 mm off on the diagonal, its sweep ends 1.414 mm from it, so it must go 0.132 mm out.
    """
    curves = ContourParallel()(shapely.box(0, 0, 40, 40), 1.0, 1.8)
    assert len(curves) == 12
    assert all(c.closed for c in curves)
    around = [160 - 8 * 1.8 * k for k in range(12)]
    for c, plain in zip(curves[:-1], around[:0:-1], strict=True):
        assert plain + 8 * 0.132 <= c.length <= plain + 8 * 0.25
    assert curves[-1].length == pytest.approx(160)


def test_no_place_for_the_cutter() -> None:
    with pytest.raises(NoRoom, match=r"^the area has no place for the cutter's center$"):
        ContourParallel()(shapely.Polygon(), 1.0, 0.8)


def test_a_cover_that_leaves_material_is_found_out() -> None:
    """A stranger's cover that forgets the middle."""

    class Rim(Cover):
        name = "rim"

        def cover(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
            return [Curve.line(shapely.get_coordinates(region.exterior))]

    with pytest.raises(BrokenPromise, match=r"cover rim .*: curves leave nothing that the cutter can reach"):
        Rim()(shapely.box(0, 0, 10, 10), 1.0, 0.8)
    assert len(Rim()(shapely.box(0, 0, 1.9, 10), 1.0, 0.8)) == 1
