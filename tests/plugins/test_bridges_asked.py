"""Bridges by count and at given points: as many, where they were asked for, or refused."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.registry import Registry
from kerfwright.strategy import Bridge
from kerfwright_plugins.bridges.at import At
from kerfwright_plugins.bridges.count import Count

REGISTRY = Registry.load()
WAYS_OUT = "make them narrower, hold the sheet by tape, or clear it to dust with a pocket"


def around(shape: shapely.Polygon, radius: float = 1.0) -> Curve:
    """Way of the cutter's center around the outside, wall on the right."""
    ring = shapely.Polygon(shapely.get_parts(offset(shape, radius))[0].exterior)
    return recover(rings_of(ring))[0].reversed()


@pytest.mark.parametrize("count", [2, 3, 5, 8])
def test_as_many_as_asked(count: int) -> None:
    """60 x 40: evenly, no two nearer than two thirds of an even share."""
    loop = around(shapely.box(0, 0, 60, 40))
    s = np.array([b.s for b in Count(count=count)(loop, 2.0)])
    assert len(s) == count
    assert np.diff(np.append(s, s[0] + loop.length)).min() > loop.length / count / 1.5


@pytest.mark.parametrize("name", ["plate", "neck", "comb", "rib", "star", "ring"])
def test_count_on_the_specimens(shapes: dict[str, shapely.Polygon], name: str) -> None:
    bridges = Count(count=3, width=0.6, slope=45)(around(shapes[name]), 2.0)
    assert [b == Bridge(b.s, 0.6, 0.4, pytest.approx(1.0)) for b in bridges] == [True] * 3


@pytest.mark.parametrize(
    ("strategy", "message"),
    [
        (
            Count(count=30),
            "an outline of 54.3 mm has room for 12 of 30 bridges 0.8 mm wide: each needs 2.8 mm of straight away from corners "
            f"and radii under 2.0 mm; ask for fewer, {WAYS_OUT}",
        ),
        (
            Count(width=11),
            "an outline of 54.3 mm has room for 0 of 3 bridges 11 mm wide: each needs 13.0 mm of straight away from corners "
            f"and radii under 2.0 mm; {WAYS_OUT}",
        ),
        (At(), "found 0 points for bridges, allowed: two or more on each outline"),
        (At(at=((6.0, 0.0),)), "found 1 points for bridges, allowed: two or more on each outline"),
        (At(at=((6.0, 0.0), (6.0, 5.0))), "the cutter's way does not pass the bridge at (6, 5)"),
        (
            At(at=((6.0, 0.0), (0.5, 0.0))),
            "the bridge at (0.5, 0) needs 2.8 mm of straight away from corners and radii under 2.0 mm",
        ),
        (
            At(at=((5.0, 0.0), (7.0, 0.0))),
            "the bridges at (7, 0) and (5, 0) lie 2.0 mm apart, allowed: more than 2.8 mm",
        ),
    ],
)
def test_where_there_is_no_room(strategy: Any, message: str) -> None:
    """Around 12 x 12 mm with a 2 mm cutter: 48 and 2 pi round; 8.2 mm of each side are free, three 3.08 mm apart."""
    with pytest.raises(NoRoom) as told:
        strategy(around(shapely.box(0, 0, 12, 12)), 2.0)
    assert str(told.value) == message


def test_at_in_numbers() -> None:
    """Points on an outline of 60 x 40: a bridge where the way is nearest to each."""
    loop = around(shapely.box(0, 0, 60, 40))
    bridges = At(at=((20.0, 0.0), (60.0, 25.0), (10.0, 40.0)), slope=30)(loop, 2.0)
    places = {tuple(np.round(loop.at(b.s)[0][0, :2], 3).tolist()) for b in bridges}
    assert places == {(20, -1), (61, 25), (10, 41)}
    assert [b.slope for b in bridges] == pytest.approx([math.tan(math.radians(30))] * 3)


def test_each_outline_has_its_own_points() -> None:
    one, other = Curve.circle(0, 0, 10), Curve.circle(50, 0, 5)
    said = At(at=((10.0, 0.0), (45.0, 0.2), (-10.3, 0.0), (50.0, 5.0)))
    assert said.drawn(one, [one, other]).at == ((10.0, 0.0), (-10.3, 0.0))
    assert said.drawn(other, [one, other]).at == ((45.0, 0.2), (50.0, 5.0))
    moved = said.drawn(one, [one, other]).placed(lambda p: p + [100, 0])
    s = [b.s for b in moved(Curve.circle(100, 0, 11).reversed(), 2.0)]
    assert s == pytest.approx([0, 11 * math.pi], abs=0.02)


JOB = """
job: bracket
machine: light-router
sheet: {material: gfrp, size: [200, 120], thickness: 2, breakthrough: 0.4, board: 12, hold: screws}
cutters: {mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
parts:
  - {name: bracket, at: %s, turn: %s, shapes: [{rectangle: {corner: [0, 0], size: [50, 40]}}, {circle: {center: [15, 20], diameter: 20}}, {circle: {center: [38, 20], diameter: 16}}]}
operations:
  - profile: {cutter: mill, select: inner, cutmode: %s, bridges: {width: 0.8, thickness: 0.6, %s}}
  - profile: {cutter: mill, select: outer, cutmode: %s, bridges: {width: 0.8, thickness: 0.6, %s}}
"""
INNER, OUTER = "at: [[15, 10], [15, 30], [38, 12], [30, 20], [46, 20]]", "at: [[10, 0], [40, 0], [25, 40]]"


def made(inner: str = INNER, outer: str = OUTER, at: str = "[20, 20]", turn: float = 0, cutmode: str = "climb") -> Any:
    return kw.make(kw.load_job("-", text=JOB % (at, turn, cutmode, inner, cutmode, outer)), REGISTRY)


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize("turn", [0, 30, 180])
def test_points_go_with_every_copy(turn: float, cutmode: str) -> None:
    """Slugs and outline, two copies: what stands under the bridges' top, at the points as drawn, turned and moved by hand."""
    result = made(at="[[20, 20], [100, 30]]", turn=turn, cutmode=cutmode)
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    assert [p.held_by for p in result.parts] == ["3 bridges"] * 2
    c = result.programs[0].moves.curve
    deep = np.flatnonzero(np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2]) < -1.4001)
    ways = [Curve(c.nodes[k : k + 2], c.turns[k : k + 1]) for k in deep.tolist()]
    gone = shapely.union_all([shapely.buffer(w.path(0.0005), 1.0) for w in ways if w.length > 1e-6])
    a = math.radians(turn)
    spin = np.array([[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]])
    corner = (np.array([[0, 0], [50, 0], [50, 40], [0, 40]]) @ spin).min(0)
    outwards = {(10, 0): (0, -1), (40, 0): (0, -1), (25, 40): (0, 1)}
    inwards = {(15, 10): (0, 1), (15, 30): (0, -1), (38, 12): (0, 1), (30, 20): (1, 0), (46, 20): (-1, 0)}
    for x, y in ((20, 20), (100, 30)):
        for point, way in {**outwards, **inwards}.items():
            middle = (np.array(point) + way) @ spin - corner + [x, y]
            along = np.array([-way[1], way[0]]) @ spin
            assert shapely.distance(gone, shapely.Point(middle)) == pytest.approx(0.4, abs=0.02)
            for side in (-1.6, 1.6):
                assert shapely.contains(gone, shapely.Point(middle + side * along))


@pytest.mark.parametrize("which", ["count: 2", "count: 4"])
def test_count_through_the_whole_way(which: str) -> None:
    result = made(which, which, at="[[20, 20], [100, 30]]")
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    assert [p.held_by for p in result.parts] == [f"{which[7:]} bridges"] * 2


@pytest.mark.parametrize(
    ("inner", "outer", "message"),
    [
        (
            INNER, "at: [[10, 0]]",
            "operations[1].profile.bridges: part 'bracket' copy 1, outline of 50.000 x 40.000 mm at (20.000, 20.000): found 1 "
            "points for bridges on it, allowed: two or more on each outline",
        ),
        (
            INNER, "at: [[10, 0], [20, 3]]",
            "operations[1].profile.bridges: part 'bracket' copy 1, outline of 50.000 x 40.000 mm at (20.000, 20.000): the point "
            "(20, 3) lies 3.000 mm from the outline, allowed: at most 1 mm",
        ),
        (
            "at: [[15, 10], [15, 30], [38, 12]]", OUTER,
            "operations[0].profile.bridges: part 'bracket' copy 1, circle of 16.000 mm at (58.000, 40.000): found 1 points for "
            "bridges on it, allowed: two or more on each outline",
        ),
        (INNER, "at: [[10, 0], [0.5, 40]]", "no room: the bridge at (0.5, 40) needs 2.8 mm of straight away from corners"),
        (INNER, "at: []", "found 0 points for bridges on it, allowed: two or more on each outline"),
        (INNER, "at: [[1, 2, 3]]", "operations[1].profile.bridges.at[0]: found a list of 3, allowed: a list of 2 numbers mm"),
        (INNER, "at: 3", "operations[1].profile.bridges.at: found 3, allowed: a list of pairs, [[x, y], …]"),
        (INNER, "count: 1", "operations[1].profile.bridges.count: found 1, allowed: a whole number at least 2 and at most 200"),
    ],
)  # fmt: skip
def test_refusals(inner: str, outer: str, message: str) -> None:
    with pytest.raises(kw.InputError) as told:
        made(inner, outer)
    assert message in str(told.value)


COMB = "polygon: [[0, 0], [50, 0], [50, 30], [45, 30], [45, 8], [42.2, 8], [42.2, 30], [37, 30], [37, 8], [0, 8]]"


@pytest.mark.parametrize(
    ("said", "asked"), [("count: 5", 5), ("at: [[10, 0], [40, 0], [50, 15], [45, 20], [20, 8]]", 5)]
)
def test_fewer_than_asked_for_are_told(said: str, asked: int) -> None:
    """A slot of 2.8 mm for a cutter of 2: a bridge in it would hold the piece to itself, and is left out."""
    text = JOB % ("[20, 20]", 0, "climb", INNER, "climb", said)
    a, b = text.index("{rectangle"), text.index("]}\noperations")
    text = text[:a] + "{" + COMB + "}" + text[b:]
    text = "\n".join(line for line in text.splitlines() if "select: inner" not in line)
    result = kw.make(kw.load_job("-", text=text), REGISTRY)
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    told = [f.message for f in result.findings if f.check == "bridge" and f.severity == "warning"]
    (part,) = result.parts
    stand = int(part.held_by.split()[0])
    assert (stand < asked) == bool(told)
    if "at" in said:
        assert told == [f"bracket, copy 1: 4 bridges stand where {asked} are asked for"]


SPOTS = {  # by hand, within 1 mm of the outlines; of the star the middles of two edges, below
    "plate": [[15, 0], [45, 40], [60, 20]],
    "neck": [[7, 0], [32, 15], [20, 6]],
    "comb": [[10, 0], [35, 0], [0, 15]],
    "star": [],
    "rib": [[45.5, -3.7], [45.0, 7.2]],
    "ring": [[8, 0], [-8, 0], [0, -8]],
}  # fmt: skip


@pytest.mark.parametrize("name", list(SPOTS))
def test_at_points_of_the_specimens(shapes: dict[str, shapely.Polygon], name: str) -> None:
    """Around the outside, turned by 17 degrees: proved, and as many stand as were asked for."""
    outline = shapely.Polygon(shapes[name].exterior)
    spots = SPOTS[name]
    if name == "star":  # edges on either side of two tips far apart
        p = np.array(outline.exterior.coords)
        spots = [((p[k] + p[k + 1]) / 2).tolist() for k in (0, 8)]
    text = f"""
job: specimen
machine: light-router
sheet: {{material: gfrp, size: [200, 120], thickness: 2, breakthrough: 0.4, board: 12, hold: screws}}
cutters: {{mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}}}
parts: [{{name: {name}, at: [40, 30], turn: 17, shapes: [{{wkt: "{outline.wkt}"}}]}}]
operations: [{{profile: {{cutter: mill, bridges: {{at: {spots}, width: 0.8, thickness: 0.5}}}}}}]
"""
    result = kw.make(kw.load_job("-", text=text), REGISTRY)
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    assert [p.held_by for p in result.parts] == [f"{len(spots)} bridges"]
    assert not [f for f in result.findings if f.check == "bridge"]
