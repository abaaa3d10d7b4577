"""Rows, spirals and rings on all specimens at every radial depth: what they leave and how long they are, by plain buffers."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset
from kerfwright.registry import Registry
from kerfwright.strategy import Cover
from kerfwright_plugins.cover.bidirectional import Bidirectional
from kerfwright_plugins.cover.contour_parallel import ContourParallel
from kerfwright_plugins.cover.contour_spiral import ContourSpiral

FRACTIONS = (0.1, 0.3, 0.5, 0.7, 0.9)
COVERS = {
    "parallel": ContourParallel(),
    "along x": Bidirectional(),
    "at 35": Bidirectional(angle=35),
    "spiral": ContourSpiral(),
}


def taken(curves: list[Curve], radius: float) -> shapely.Geometry:
    """Discs swept along each chord by itself."""
    points = [c.flat(0.002)[0][:, :2] for c in curves]
    chords = np.vstack([np.stack([p[:-1], p[1:]], axis=1) for p in points])
    return shapely.union_all(shapely.buffer(shapely.linestrings(chords), radius, quad_segs=16))


def proved(cover: Cover, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
    """What the cover answers: it leaves nothing within 0.01 mm, and cuts nothing 0.003 mm beyond."""
    curves = cover.cover(region, radius, advance)
    reach = shapely.buffer(region, radius, quad_segs=64)
    assert shapely.difference(reach, taken(curves, radius + 0.01)).is_empty
    assert shapely.covers(shapely.buffer(region, 0.003), np.array([c.path() for c in curves], object)).all()
    return curves


@pytest.mark.parametrize("fraction", FRACTIONS)
@pytest.mark.parametrize("name", [name for name in COVERS if name != "parallel"])  # which test_cover.py asks the same
def test_nothing_reachable_is_left(shapes: dict[str, shapely.Polygon], name: str, fraction: float) -> None:
    """A cutter of 2 mm on every outline; on those that take longest at the widest advance alone."""
    tried = 0
    for which, shape in shapes.items():
        if which in ("gear", "plate") and fraction < 0.9:
            continue
        for region in shapely.get_parts(offset(shape, -1.0)):
            if not region.is_empty:
                proved(COVERS[name], region, 1.0, 2 * fraction)
                tried += 1
    assert tried >= (8 if fraction == 0.9 else 6)


@pytest.mark.parametrize("fraction", FRACTIONS)
@pytest.mark.parametrize("name", COVERS)
def test_a_plain_pocket_takes_little_more_way_than_its_area_asks(name: str, fraction: float) -> None:
    """100 x 60 mm, cutter of 3 mm: at most 15 % above area / advance. The area is the pocket's, all that must be gone."""
    curves = proved(COVERS[name], shapely.box(1.5, 1.5, 98.5, 58.5), 1.5, 3 * fraction)
    assert sum(c.length for c in curves) <= 1.15 * 6000 / (3 * fraction)


@pytest.mark.parametrize("fraction", FRACTIONS)
def test_a_spiral_is_one_way_from_the_middle_to_the_wall(shapes: dict[str, shapely.Polygon], fraction: float) -> None:
    """In areas whose rings do not branch; it ends with the whole wall, which lies on its right."""
    square = shapely.box(0, 0, 26, 24)
    for region in [
        square,
        *shapely.get_parts(offset(shapes["neck"], -1.0)),
        *shapely.get_parts(offset(shapes["star"], -1.0)),
    ]:
        (way,) = ContourSpiral().cover(region, 1.0, 2 * fraction)
        assert not way.closed
        assert shapely.covers(shapely.buffer(way.path(), 0.003), region.exterior)
        if fraction <= 0.5:  # no detours
            last = way.between(way.length - region.exterior.length + 0.05, way.length)
            assert shapely.covers(shapely.buffer(region.exterior, 0.003), last.path())
            assert last.signed_area > 0
        first = shapely.distance(shapely.Point(way.start[:2]), region.exterior)
        assert first > shapely.maximum_inscribed_circle(region).length - max(2 * fraction, 1.0) - 0.02


@pytest.mark.parametrize("fraction", [0.3, 0.6, 0.9])
def test_no_lap_of_a_spiral_steps_over_more_than_the_advance(fraction: float) -> None:
    """Depth below the wall along the way: it never jumps, and after one lap it has come the advance nearer, no more."""
    region = shapely.buffer(shapely.box(0, 0, 20, 12), 6, quad_segs=64)
    advance = 2 * fraction
    (way,) = ContourSpiral().cover(region, 1.0, advance)
    s = np.arange(0, way.length, 0.05)
    p = way.at(s)[0][:, :2]
    x, y = (p - [10, 6]).T
    angle = np.unwrap(np.arctan2(y, x))
    assert (np.diff(angle) > 0).mean() > 0.9
    deep = shapely.distance(shapely.points(p), region.exterior)
    assert np.abs(np.diff(deep)).max() <= 0.051
    lap = np.floor((angle - angle[0]) / (2 * np.pi)).astype(int)
    tried = 0
    for k in range(lap.max()):
        inner, outer = p[lap == k], shapely.LineString(p[(lap == k) | (lap == k + 1) | (lap == k + 2)])
        ahead = shapely.LineString(p[lap >= k + 1]) if (lap >= k + 1).sum() > 1 else outer
        assert shapely.distance(shapely.points(inner[::7]), ahead).max() <= advance + 0.01
        tried += 1
    assert tried >= 5


def test_the_area_around_islands_is_cleared_in_closed_rings() -> None:
    """A frame: rings go around the island; what branches off into the wide ends is spirals."""
    region = shapely.box(0, 0, 40, 40).difference(shapely.box(15, 10, 25, 30))
    curves = proved(ContourSpiral(), region, 1.0, 0.6)
    around = [c for c in curves if c.closed and shapely.contains(c.polygon(), shapely.Point(20, 20))]
    assert len(around) >= 2
    assert any(not c.closed for c in curves)


@pytest.mark.parametrize("angle", [0.0, 30.0, 90.0, 135.0])
def test_rows_lie_at_the_angle_and_end_short_of_the_wall(angle: float) -> None:
    """A square of 20: one way to and fro half an advance off the wall, then the wall."""
    region = shapely.box(0, 0, 20, 20)
    way, lap = Bidirectional(angle=angle).cover(region, 1.0, 0.8)
    assert shapely.distance(way.path(), region.exterior) == pytest.approx(0.4, abs=0.001)
    assert lap.closed
    assert lap.length == pytest.approx(80)
    assert lap.signed_area > 0
    long = way.lengths > 3
    turned = np.rad2deg(way.directions[long, 0]) % 180
    assert np.minimum(np.abs(turned - angle), 180 - np.abs(turned - angle)).max() < 0.01
    fore = np.cos(way.directions[long, 0] - np.deg2rad(angle)) > 0
    assert (fore[1:] != fore[:-1]).all()
    across = way.nodes[:-1][long][:, :2] @ [-np.sin(np.deg2rad(angle)), np.cos(np.deg2rad(angle))]
    assert 0 < np.abs(np.diff(across)).max() <= 0.8 + 1e-6


def test_rows_are_cut_cell_by_cell_where_an_island_splits_them() -> None:
    """Beside an island both cells are finished by themselves: below, left, right, above make at most four ways."""
    region = shapely.box(0, 0, 30, 30).difference(shapely.box(12, 12, 18, 18))
    curves = Bidirectional().cover(region, 1.0, 0.8)
    ways, laps = curves[:-2], curves[-2:]
    assert 2 <= len(ways) <= 4
    assert sorted(round(c.length) for c in laps) == [24, 120]
    beside = [w.nodes[(w.nodes[:, 1] > 12) & (w.nodes[:, 1] < 18), 0] for w in ways]
    sides = np.concatenate([x for x in beside if len(x)]) > 15
    assert (np.diff(sides.astype(int)) != 0).sum() == 1


@pytest.mark.parametrize("name", COVERS)
def test_two_calls_give_the_same_bytes(shapes: dict[str, shapely.Polygon], name: str) -> None:
    (region,) = shapely.get_parts(offset(shapes["star"], -1.0))
    a, b = (COVERS[name].cover(region, 1.0, 1.8) for _ in range(2))
    assert [c.nodes.tobytes() + c.turns.tobytes() for c in a] == [c.nodes.tobytes() + c.turns.tobytes() for c in b]


@pytest.mark.parametrize("name", COVERS)
def test_no_place_for_the_cutter(name: str) -> None:
    with pytest.raises(NoRoom, match=r"^the area has no place for the cutter's center$"):
        COVERS[name](shapely.Polygon(), 1.0, 0.8)


@cache
def registry() -> Registry:
    """What is installed."""
    return Registry.load()


JOB = """
job: {shape}-{fraction}
machine: light-router
sheet: {{material: cfrp, size: [160, 120], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}}
cutters:
  mill: {{form: end_mill, flutes: burr, diameter: 2.0, teeth: 6, flute_length: 8}}
parts:
  - name: part
    at: [30, 30]
    shapes:
      - wkt: "{wkt}"
operations:
  - pocket: {{cutter: mill, select: all, depth: 0.8, radial_depth: {fraction}, cutmode: {cutmode}, cover: {cover}}}
"""


@pytest.mark.parametrize(
    ("shape", "fraction", "cutmode", "cover"),
    [
        ("neck", 0.9, "climb", "contour_spiral"),
        ("neck", 0.9, "climb", "{bidirectional: {angle: 35 deg}}"),
        ("comb", 0.5, "conventional", "bidirectional"),
        ("comb", 0.5, "conventional", "contour_spiral"),
        ("rib", 0.7, "climb", "{bidirectional: {angle: 35 deg}}"),
        ("star", 0.9, "conventional", "contour_spiral"),
        ("star", 0.9, "conventional", "bidirectional"),
    ],
)
def test_the_whole_way(shapes: Any, shape: str, fraction: float, cutmode: str, cover: str) -> None:
    """From the job file to the proof; the other specimens and all neighbours are tried pair by pair."""
    wkt = shapely.to_wkt(shapes[shape], rounding_precision=6)
    text = JOB.format(shape=shape, fraction=fraction, wkt=wkt, cutmode=cutmode, cover=cover)
    result = kw.make(kw.load_job("job.yaml", registry(), text=text), registry())
    assert [f.message for f in result.findings if f.severity == "error"] == []
    assert result.ok
