"""Pockets measured by shapely alone: all that a round cutter reaches is gone, nothing else is."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Loop
from kerfwright.errors import InputError, NoRoom
from kerfwright.job import Part
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.program import Motion, Role
from kerfwright.registry import Registry
from kerfwright.strategy import Entry

REGISTRY = Registry.load()


def piece(shape: Any, at: Any = ((60.0, 60.0),)) -> Part:
    loops = [Loop(Curve.line(np.array(r.coords))) for p in shapely.get_parts(shape) for r in (p.exterior, *p.interiors)]
    return Part(name="one", drawing=Drawing.nested(loops), at=at)


def planned(shop: Any, part: Part, **more: Any) -> tuple[Any, Motion]:
    pocket = shop.pocket(**{"select": shop.select({}), "entry": REGISTRY.strategies["entry", "ramp"](), **more})
    (setup,) = place(shop.job(pocket, parts=(part,), sheet=shop.sheet(hold="tape")), REGISTRY)
    (program,) = plan_setup(setup, REGISTRY)
    (motion,) = [s for s in program.steps if isinstance(s, Motion)]
    return setup, motion


def swept(motion: Motion, z: float, radius: float, *, below: bool = False) -> Any:
    """What moves wholly at z take, or all that go below it."""
    c = motion.curve
    high, low = (f(c.nodes[:-1, 2], c.nodes[1:, 2]) for f in (np.maximum, np.minimum))
    some = (low < z - 1e-9) if below else (high == z) & (low == z)
    lines = [Curve(c.nodes[k : k + 2], c.turns[k : k + 1]) for k in np.flatnonzero(some & (c.lengths > 1e-9))]
    return shapely.union_all([shapely.buffer(v.path(0.0005), radius, quad_segs=64) for v in lines])


def area_of(setup: Any) -> Any:
    area = shapely.Polygon()
    for p in setup.pieces:
        for loop in p.loops:
            area = shapely.symmetric_difference(area, loop.curve.polygon(0.0002))
    return area


@pytest.mark.parametrize(
    ("name", "cutmode"),
    [*[(n, "climb") for n in ("plate", "neck", "comb", "gear", "rib", "star")], ("plate", "conventional")],
)
def test_all_that_is_reached_and_nothing_else(shop: Any, shapes: Any, name: str, cutmode: str) -> None:
    setup, motion = planned(shop, piece(shapes[name]), cutmode=cutmode)
    area = area_of(setup)
    gone = swept(motion, -0.8, 1.0)
    reach = shapely.buffer(shapely.buffer(area, -1.0, quad_segs=64), 1.0, quad_segs=64)
    assert shapely.is_empty(shapely.buffer(shapely.difference(reach, gone), -0.0025))
    assert shapely.difference(swept(motion, 0.0, 1.0 - 0.003, below=True), area).area < 1e-6
    assert motion.curve.nodes[:, 2].min() == -0.8


def test_levels_down_to_the_depth(shop: Any) -> None:
    """1.8 mm deep at 1 mm a pass: two passes, 0.9 each; material begins 0.3 mm down."""
    _, motion = planned(shop, piece(shapely.box(0, 0, 20, 14)), depth=1.8)
    levels = {round(float(z), 6) for z in motion.curve.nodes[1:][motion.roles == Role.CONTACT][:, 2]}
    assert levels == {-0.9, -1.8}


def test_links_are_short_and_inside(shop: Any, shapes: Any) -> None:
    setup, motion = planned(shop, piece(shapes["plate"]))
    room = shapely.buffer(area_of(setup), -1.0 + 0.003)
    c = motion.curve
    links = np.flatnonzero(motion.roles == Role.CONNECT)
    assert len(links) > 5
    assert c.lengths[links].max() <= 1.5 * 2.0 + 1e-9
    ways = shapely.linestrings(np.stack([c.nodes[links, :2], c.nodes[links + 1, :2]], axis=1))
    assert shapely.covers(room, ways).all()


def test_the_inner_pocket_first(shop: Any) -> None:
    """Squares in squares: an outer ring to clear, an island, and a pocket in that."""
    boxes = [shapely.box(-k, -k, k, k) for k in (30, 20, 10)]
    shape = shapely.union_all([boxes[0] - boxes[1], boxes[2]])
    _, motion = planned(shop, piece(shape))
    cut = motion.curve.nodes[1:][motion.roles == Role.CONTACT]
    inside = np.abs(cut[:, :2] - [90, 90]).max(1) < 10
    assert inside[0]
    assert not inside[-1]
    assert (np.diff(inside.astype(int)) <= 0).all()


def test_copies_are_equal(shop: Any, shapes: Any) -> None:
    _, motion = planned(shop, piece(shapes["comb"], ((30.0, 30.0), (120.25, 60.5))))
    c, contact = motion.curve, motion.roles == Role.CONTACT
    left = c.nodes[1:][contact & (c.nodes[1:, 0] < 100)]
    right = c.nodes[1:][contact & (c.nodes[1:, 0] > 100)]
    assert len(left) > 20
    assert right - [90.25, 30.5, 0] == pytest.approx(left, abs=1e-6)


class Picky(Entry):
    """Straight down, but only right of X 72."""

    name = "picky"

    def enter(self, cut: Any, top: float, bottom: float, room: Any) -> Any:
        x, y = cut.start[:2]
        if x < 72:
            raise NoRoom("too far left")
        return Curve.line([[x, y, top], [x, y, bottom]]), 0.0


def test_another_start_where_the_first_will_not_do(shop: Any) -> None:
    """The innermost ring of a square of 24 mm at (60, 60) begins on its right side; a pocket left of X 72 has no such start."""
    _, motion = planned(shop, piece(shapely.box(0, 0, 24, 24)), entry=Picky())
    assert motion.curve.nodes[0, 0] >= 72
    with pytest.raises(InputError) as e:
        planned(shop, piece(shapely.box(0, 0, 11, 24)), entry=Picky())
    assert str(e.value) == (
        "operations[0].pocket.entry: part 'one' copy 1, outline of 11.000 x 24.000 mm at (60.000, 60.000): "
        "no room: too far left"
    )
