"""Areas shrunk, grown and opened, against closed forms and against their walls taken edge by edge."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from kerfwright.fineness import quad_segs
from kerfwright.shrinking import along, grown, opened, shrunk
from kerfwright.sweep import rings_of

BOX = shapely.box(0, 0, 30, 20)


def wedge(half: float, length: float = 30.0) -> shapely.Polygon:
    """A symmetric wedge with its tip at 0, 0 and half its angle (deg), closed at X `length`."""
    y = length * math.tan(math.radians(half))
    return shapely.Polygon([(0, 0), (length, -y), (length, y)])


def test_a_rectangle_in_closed_form() -> None:
    """Steiner: area + perimeter r + pi r2; shrunk it is a rectangle again; opened it loses (4 - pi) r2 in its corners."""
    r = 3.0
    assert grown(BOX, r).area == pytest.approx(600 + 100 * r + math.pi * r * r, abs=2 * math.pi * r * 0.0005)
    assert shrunk(BOX, r).area == pytest.approx(24 * 14, abs=1e-6)
    assert opened(BOX, r).area == pytest.approx(600 - (4 - math.pi) * r * r, abs=2 * math.pi * r * 0.0005)
    assert along(BOX, r).area == pytest.approx(600 + 300 + math.pi * 9 - 24 * 14, abs=2 * math.pi * r * 0.0005)


@pytest.mark.parametrize("half", [2.0, 5.0, 8.0, 30.0])
def test_a_cutter_reaches_a_tip_as_far_as_its_radius_says(half: float) -> None:
    """The center comes to r / sin(half) of the tip, so the nearest that is reached lies r before that."""
    r, tip = 1.0, wedge(half, 60.0)
    reached = opened(tip, r).bounds[0]
    assert reached == pytest.approx(r / math.sin(math.radians(half)) - r, abs=0.0011)


@pytest.mark.parametrize(
    ("width", "reach"),
    [
        (2.0, 50.0),
        (1.999, 50.0),
        # its mouth stops the cutter where two corners do: sqrt(r2 - (width / 2)2) before it, its nose r farther
        (1.99, 20 - math.sqrt(1 - 0.995**2) + 1),
        (1.8, 20 - math.sqrt(1 - 0.9**2) + 1),
    ],
)
def test_a_slot_as_wide_as_the_cutter_counts(width: float, reach: float) -> None:
    """A room of 20 x 20 and a slot to X 50, for a 2 mm cutter."""
    slot = shapely.union_all([shapely.box(0, 0, 20, 20), shapely.box(19, 10 - width / 2, 50, 10 + width / 2)])
    assert opened(slot, 1.0).bounds[2] == pytest.approx(reach, abs=0.002)


def test_nothing_stays_nothing() -> None:
    for of in (along, grown, shrunk, opened):
        assert shapely.is_empty(of(shapely.Polygon(), 1.0))
    assert shapely.is_empty(opened(shapely.box(0, 0, 1, 9), 1.0))


def edge_by_edge(area: shapely.Geometry, radius: float) -> shapely.Geometry:
    """What is taken along walls: lines of two points, of which GEOS drops none."""
    out = []
    for ring in rings_of(area):
        p = shapely.get_coordinates(ring)
        out.append(shapely.linestrings(np.stack([p[:-1], p[1:]], axis=1)))
    return shapely.union_all(shapely.buffer(np.concatenate(out), radius, quad_segs=quad_segs(radius, 0.0005)))


def same(a: shapely.Geometry, b: shapely.Geometry, within: float = 0.002) -> bool:
    """Neither reaches beyond the other by more than a distance."""
    out = [shapely.difference(x, edge_grown(y, within)).area for x, y in ((a, b), (b, a))]
    return max(out) < 1e-5


def edge_grown(area: shapely.Geometry, by: float) -> shapely.Geometry:
    return shapely.union(area, edge_by_edge(area, by)) if not shapely.is_empty(area) else area


def rounded_star(seed: int) -> shapely.Polygon:
    """Random, with holes, its corners rounded by fillets: fine chords beside long edges."""
    rng = np.random.default_rng(seed)
    angle = np.sort(rng.uniform(0, 2 * np.pi, 14))
    r = rng.uniform(6, 25, 14)
    star = shapely.Polygon(np.column_stack([r * np.cos(angle), r * np.sin(angle)]))
    holes = [shapely.Point(*rng.uniform(-9, 9, 2)).buffer(2.0, quad_segs=60) for _ in range(2)]
    area = shapely.difference(shapely.make_valid(star), shapely.union_all(holes))
    return shapely.difference(area, edge_by_edge(area, 0.75))


@pytest.mark.parametrize("seed", range(2))
def test_nothing_is_lost_where_fillets_meet_long_edges(seed: int) -> None:
    area = rounded_star(seed)
    for r in (1.0, 2.1, 3.3):
        taken = edge_by_edge(area, r)
        assert same(along(area, r), taken)
        assert same(grown(area, r), shapely.union(area, taken))
        assert same(shrunk(area, r), shapely.difference(area, taken))


def test_the_measure_sees_what_a_plain_buffer_loses() -> None:
    """Were it not guarded, the traps here would show: some plain buffer of these areas is wrong by more than 0.002 mm."""

    def wrong(area: shapely.Geometry, r: float) -> bool:
        plain = shapely.buffer(area, -r, quad_segs=quad_segs(r, 0.0005))
        return not same(plain, shapely.difference(area, edge_by_edge(area, r)))

    assert any(wrong(rounded_star(seed), r) for seed in range(12) for r in (2.1, 3.3))
