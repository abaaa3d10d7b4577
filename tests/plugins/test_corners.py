"""Inside corners: a part with square corners goes in, by the least that must go, and nothing else is cut."""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.offset import offset, recover, rings_of
from kerfwright.proof import prove, reading_of
from kerfwright.registry import Registry
from kerfwright_plugins.corners.none import NoCorners
from kerfwright_plugins.corners.relief import Relief

REGISTRY = Registry.load()
SQUARE = Curve.line([[0, 0], [9, 0], [9, 9], [0, 9], [0, 0]])


def test_none_cuts_nothing_beyond_a_wall() -> None:
    assert NoCorners()(SQUARE, 1.0).shape == (0, 4)


def test_along_the_bisector_in_numbers() -> None:
    """Center square 9 x 9, cutter 2 mm: tips at -1 and 10; a center 1 mm from the tip lies at -1 + 0.7071."""
    rows = Relief()(SQUARE, 1.0)
    assert sorted(rows[:, :2].tolist()) == [[0, 0], [0, 9], [9, 0], [9, 9]]
    near = np.where(rows[:, :2] == 0, -1 + np.sqrt(0.5), 10 - np.sqrt(0.5))
    assert rows[:, 2:] == pytest.approx(near)


def test_along_the_longer_edge_in_numbers() -> None:
    """Center rectangle 20 x 9: along X, until the center stands over the shorter wall."""
    way = Curve.line([[0, 0], [20, 0], [20, 9], [0, 9], [0, 0]])
    rows = Relief(toward="longer")(way, 1.0)
    assert rows[:, 2] == pytest.approx(np.where(rows[:, 0] == 0, -1, 21))
    assert rows[:, 3] == pytest.approx(rows[:, 1])


def test_of_equal_edges_the_one_it_comes_along() -> None:
    rows = Relief(toward="longer")(SQUARE, 1.0)
    assert {(*a, *b) for a, b in np.rint(rows.reshape(-1, 2, 2)).tolist()} == {
        (0, 0, 0, -1), (9, 0, 10, 0), (9, 9, 9, 10), (0, 9, -1, 9),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("angle", "there"), [(35.0, False), (44.9, False), (45.0, True), (90.0, True), (140.0, True), (141.0, False)]
)
def test_between_the_sharpest_and_the_bluntest(angle: float, there: bool) -> None:
    """A triangle with one corner of the angle at the origin, and two others that are each at most 72.5 degrees."""
    a = np.radians(angle)
    way = Curve.line([[0, 0], [30, 0], [30 * np.cos(a), 30 * np.sin(a)], [0, 0]])
    rows = Relief(sharpest=45.0, bluntest=140.0)(way, 1.0)
    assert bool((np.hypot(*rows[:, :2].T) < 1e-9).any()) == there


def test_bows_and_outside_corners_have_none() -> None:
    assert not len(Relief()(Curve.circle(0, 0, 5), 1.0))
    assert not len(Relief()(SQUARE.reversed(), 1.0))
    assert not len(Relief()(SQUARE.between(0, 20), 1.0))


@pytest.mark.parametrize("toward", ["bisector", "longer"])
@pytest.mark.parametrize(("name", "count"), [("plate", 4), ("neck", 4), ("comb", 13), ("star", 9), ("tiny", 0)])
def test_on_every_outline_the_edge_just_reaches_a_corner(
    shapes: dict[str, shapely.Polygon], name: str, count: int, toward: str
) -> None:
    """Measured against the outline's own vertices, for a cutter of 1 mm; counted by hand (the comb: twelve, and one under its last tooth)."""
    shape, found = shapes[name], 0
    vertices = shapely.multipoints(shapely.get_coordinates(shape))
    around = shapely.orient_polygons(shapely.buffer(shape, 20).difference(offset(shape, 0.5)))
    for loop in recover(rings_of(around)):
        before = loop.nodes.tobytes()
        rows = Relief(toward=toward, sharpest=40, bluntest=120)(loop, 0.5)
        assert loop.nodes.tobytes() == before
        assert (
            shapely.dwithin(shapely.points(rows[:, :2]), shapely.points(loop.nodes[:, :2])[:, None], 1e-9).any(0).all()
        )
        away = shapely.distance(shapely.points(rows[:, 2:]), vertices)
        assert away == pytest.approx(np.full(len(away), 0.5), abs=0.003)
        found += len(rows)
    assert found == count


JOB = """
job: bracket
machine: light-router
sheet: {material: gfrp, size: [200, 120], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
cutters: {mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
parts:
  - {name: bracket, at: [[20, 20], [90, 22]], turn: %s, shapes: [%s]}
operations:
%s
"""
NOTCHED = """polygon: [[0, 0], [50, 0], [50, 30], [35, 30], [35, 20], [15, 20], [15, 30], [0, 30]]}, {rectangle: {corner: [6, 5], size: [24, 10]}}, {rectangle: {corner: [36, 5], size: [8, 8]}"""
OPERATIONS = """
  - pocket: {cutter: mill, depth: 1, select: {within: [35, 4, 46, 14]}, SAID}
  - profile: {cutter: mill, select: {within: [5, 4, 31, 16]}, SAID}
  - profile: {cutter: mill, select: outer, SAID}
"""


def made(shapes: str, operations: str, turn: float = 0) -> Any:
    return kw.make(kw.load_job("-", text=JOB % (turn, "{" + shapes + "}", operations.strip("\n"))), REGISTRY)


def swept(result: Any, below: float, radius: float = 1.0) -> Any:
    """What the programs' own text takes below a height: by shapely, a segment at a time."""
    out = []
    for p in result.programs:
        c = p.moves.curve
        low = np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2])
        for k in np.flatnonzero(low < below - 1e-6):
            one = Curve(c.nodes[k : k + 2], c.turns[k : k + 1])
            line = one.path(0.0005) if one.length > 1e-9 else shapely.Point(one.start[:2])
            out.append(shapely.buffer(line, radius, quad_segs=48))
    return shapely.union_all(out)


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize("toward", ["bisector", "longer"])
def test_square_parts_go_in(toward: str, cutmode: str) -> None:
    """Notch, opening and recess of a bracket: none of the drawn waste is left in their corners."""
    said = f"cutmode: {cutmode}, corners: {{relief: {{toward: {toward}}}}}, lead: {{angle: {{length: 1}}}}"
    result = made(NOTCHED, OPERATIONS.replace("SAID", said))
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    assert max(p.worst_gouge_mm for p in result.parts) <= 0.005
    assert max(p.worst_leftover_mm for p in result.parts) <= 0.005
    through, recess = swept(result, -2.39), swept(result, -0.99)
    for x, y in ((20, 20), (90, 22)):
        band = shapely.box(x + 6, y + 5, x + 30, y + 15) - shapely.box(x + 7, y + 6, x + 29, y + 14)
        notch = shapely.box(x + 15, y + 20, x + 35, y + 30) - shapely.box(x + 16, y + 21, x + 34, y + 31)
        for waste, gone in ((band, through), (notch, through), (shapely.box(x + 36, y + 5, x + 44, y + 13), recess)):
            assert shapely.is_empty(shapely.difference(waste, shapely.buffer(gone, 0.003)))
        # least: what goes beyond the opening's walls in each corner, against areas worked out on paper
        beyond = shapely.difference(through, shapely.box(x + 6, y + 5, x + 30, y + 15))
        beyond = shapely.intersection(beyond, shapely.box(x + 3, y + 2, x + 33, y + 17))
        # a disc of 1 mm through the tip: two segments of pi/4 - 1/2 each, or half a disc about a point on the short wall
        each = {"bisector": np.pi / 2 - 1, "longer": np.pi / 2}[toward]
        assert beyond.area == pytest.approx(4 * each, abs=0.02)


def test_a_rounded_corner_needs_none() -> None:
    """Corners of 0.5 mm radius and a chamfer of 0.4: the way has a corner there, the drawing none."""
    shapes = "rectangle: {corner: [0, 0], size: [50, 30]}}, {rectangle: {corner: [6, 5], size: [20, 10], radius: 0.5}}, {polygon: [[30.4, 5], [40, 5], [40, 15], [30, 15], [30, 5.4]]"
    said = "  - profile: {cutter: mill, select: inner, corners: relief}\n  - profile: {cutter: mill, select: outer}"
    result = made(shapes, said)
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    gone = shapely.intersection(swept(result, -2.39), shapely.box(22, 22, 47, 38))
    assert shapely.is_empty(shapely.difference(gone, shapely.buffer(shapely.box(26, 25, 46, 35), 0.005)))


@pytest.mark.parametrize(
    ("shapes", "message"),
    [
        (
            "rectangle: {corner: [0, 0], size: [50, 30]}}, {rectangle: {corner: [5, 5], size: [10, 10]}}, {rectangle: {corner: [15.2, 12], size: [9, 9]}",
            "operations[0].profile.corners: part 'bracket' copy 1, outline of 10.000 x 10.000 mm at (25.000, 25.000): the "
            "relief of its corner at (35.000, 35.000) would break through to part 'bracket' copy 1, outline of 9.000 x "
            "9.000 mm at (35.200, 32.000); allowed: a smaller cutter, or `corners: none`",
        ),
        (
            "rectangle: {corner: [0, 0], size: [50, 30]}}, {polygon: [[5, 5], [25, 5], [25, 15], [15.2, 15], [15.2, 8], [15, 8], [15, 15], [5, 15]]",
            "would break through to the other side of the same outline; allowed: a smaller cutter, or `corners: none`",
        ),
    ],
)
def test_never_through_to_another_wall(shapes: str, message: str) -> None:
    said = "  - profile: {cutter: mill, select: inner, corners: {relief: {toward: SAID}}}\n  - profile: {cutter: mill, select: outer}"
    with pytest.raises(kw.InputError) as told:
        made(shapes, said.replace("SAID", "bisector"))
    assert message in str(told.value)


def edited(result: Any, push: float) -> Any:
    """The same programs proved with every relief a little deeper (or less deep) along its own way."""
    readings = []
    for p in result.programs:
        one = reading_of(p.file, p.kind, p.text, p.dialect, result.job, REGISTRY)
        nodes = one.moves.curve.nodes.copy()
        step = np.diff(nodes, axis=0)
        long = np.hypot(*step[:, :2].T)
        level = (nodes[:-1, 2] < 0) & (step[:, 2] == 0) & (one.moves.curve.turns == 0)
        with np.errstate(invalid="ignore"):
            turned = (step[:-1] * step[1:]).sum(1) < -0.99999 * long[:-1] * long[1:]
        k = np.flatnonzero(turned & level[:-1] & level[1:]) + 1  # there and back on one line
        nodes[k] += push * step[k - 1] / long[k - 1, None]
        assert p.kind == "walk-round" or len(k) >= 8
        readings.append(attrs.evolve(one, moves=attrs.evolve(one.moves, curve=Curve(nodes, one.moves.curve.turns))))
    return prove(result.setups[0], tuple(readings), REGISTRY)


@pytest.mark.parametrize("toward", ["bisector", "longer"])
def test_a_deeper_cut_than_the_relief_is_a_gouge_and_a_lesser_one_is_left_over(toward: str) -> None:
    said = "  - profile: {cutter: mill, select: inner, corners: {relief: {toward: SAID}}}\n  - profile: {cutter: mill, select: outer}"
    shapes = "rectangle: {corner: [0, 0], size: [50, 30]}}, {rectangle: {corner: [6, 5], size: [24, 10]}"
    result = made(shapes, said.replace("SAID", toward))
    assert result.ok
    assert edited(result, 0.0).ok
    deeper = edited(result, 0.05)
    assert {f.check for f in deeper.findings if f.severity == "error"} == {"gouge"}
    assert [p.worst_gouge_mm for p in deeper.parts] == pytest.approx([0.05, 0.05], abs=0.01)
    less = edited(result, -0.05)
    assert {f.check for f in less.findings if f.severity == "error"} == {"leftover"}


def test_what_is_not_declared_is_a_gouge() -> None:
    """The programs of a job with reliefs, proved for the same job without."""
    said = "  - profile: {cutter: mill, select: inner, corners: SAID}\n  - profile: {cutter: mill, select: outer}"
    shapes = "rectangle: {corner: [0, 0], size: [50, 30]}}, {rectangle: {corner: [6, 5], size: [24, 10]}"
    result, plain = made(shapes, said.replace("SAID", "relief")), made(shapes, said.replace("SAID", "none"))
    readings = [reading_of(p.file, p.kind, p.text, p.dialect, plain.job, REGISTRY) for p in result.programs]
    proof = prove(plain.setups[0], tuple(readings), REGISTRY)
    assert [p.worst_gouge_mm for p in proof.parts] == pytest.approx([1 - np.sqrt(0.5)] * 2, abs=0.002)


@pytest.mark.parametrize("toward", ["bisector", "longer"])
@pytest.mark.parametrize("name", ["plate", "neck", "comb", "star", "rib", "gear", "tiny"])
def test_whole_way_on_the_specimens(shapes: dict[str, shapely.Polygon], name: str, toward: str) -> None:
    """With a 1 mm cutter, turned by 17 degrees: proved, and no worse than without reliefs."""
    text = JOB.replace("diameter: 2.0", "diameter: 1.0") % (
        17, "{wkt: " + repr(shapes[name].wkt) + "}",
        f"  - profile: {{cutter: mill, select: all, corners: {{relief: {{toward: {toward}}}}}}}",
    )  # fmt: skip
    result = kw.make(kw.load_job("-", text=text.replace("[[20, 20], [90, 22]]", "[20, 20]")), REGISTRY)
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    assert max(p.worst_gouge_mm for p in result.parts) <= 0.005
    assert max(p.worst_leftover_mm for p in result.parts) <= 0.005
