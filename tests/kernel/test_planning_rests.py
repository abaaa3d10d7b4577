"""What a second pocket cuts after a bigger cutter, measured by shapely alone: all that is left, with an overlap, and little else."""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Loop
from kerfwright.job import Part
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.program import Motion, Role
from kerfwright.registry import Registry

REGISTRY = Registry.load()
BIG, SMALL = 3.0, 1.0
"""Radii, mm."""
AREA = shapely.box(0, 0, 60, 40)
ISLAND = AREA - shapely.Point(23.5, 20).buffer(4, 64) - shapely.box(30, 14, 38, 26)
"""A gap of 2.5 mm between two islands: the big cutter does not pass, the small one does."""


def motions(shop: Any, area: Any, **more: Any) -> list[Motion]:
    big = attrs.evolve(shop.mill, name="big", number=7, diameter=2 * BIG)
    small = attrs.evolve(shop.mill, name="small", number=8, diameter=2 * SMALL)
    loops = [Loop(Curve.line(np.array(r.coords))) for r in (area.exterior, *area.interiors)]
    part = Part(name="one", drawing=Drawing.nested(loops), at=((60.0, 60.0),))
    said: dict[str, Any] = {"select": shop.select({}), **more}
    job = shop.job(
        shop.pocket(cutter=big, **said), shop.pocket(cutter=small, **said), parts=(part,), sheet=shop.sheet(hold="tape"),
        cutters={"big": big, "small": small},
    )  # fmt: skip
    (setup,) = place(job, REGISTRY)
    return [s for p in plan_setup(setup, REGISTRY) for s in p.steps if isinstance(s, Motion)]


def flat(motion: Motion) -> Any:
    """Its ways at the floor."""
    c = motion.curve
    low = c.nodes[:, 2].min()
    some = np.flatnonzero((c.nodes[:-1, 2] == low) & (c.nodes[1:, 2] == low) & (c.lengths > 1e-9))
    return [Curve(c.nodes[k : k + 2], c.turns[k : k + 1]).path(0.0005) for k in some]


def swept(motion: Motion, radius: float) -> Any:
    return shapely.union_all([shapely.buffer(way, radius, quad_segs=64) for way in flat(motion)])


def reach(area: Any, radius: float) -> Any:
    return shapely.buffer(shapely.buffer(area, -radius, quad_segs=128), radius, quad_segs=128)


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize("area", [AREA, ISLAND], ids=["plain", "islands"])
def test_both_together_take_all_that_the_small_one_reaches(shop: Any, area: Any, cutmode: str) -> None:
    first, second = motions(shop, area, cutmode=cutmode)
    there = shapely.transform(area, lambda p: p + 60)
    gone = shapely.union(swept(first, BIG), swept(second, SMALL))
    assert shapely.is_empty(shapely.buffer(shapely.difference(reach(there, SMALL), gone), -0.0025))
    assert shapely.difference(swept(second, SMALL - 0.003), there).area < 1e-6


@pytest.mark.parametrize("area", [AREA, ISLAND], ids=["plain", "islands"])
def test_no_ridge_between_the_two(shop: Any, area: Any) -> None:
    """Both cutters 0.05 mm smaller, and walls 0.06 mm nearer: still nothing stands between them."""
    first, second = motions(shop, area)
    there = shapely.transform(area, lambda p: p + 60)
    gone = shapely.union(swept(first, BIG - 0.05), swept(second, SMALL - 0.05))
    inner = shapely.buffer(reach(there, SMALL), -0.06, quad_segs=64)
    assert shapely.is_empty(shapely.buffer(shapely.difference(inner, gone), -0.001))


def test_corners_alone_are_cut(shop: Any) -> None:
    """The center goes nowhere but into a square at each corner: from 1 mm off the walls (the small radius) to half a
    millimeter, the overlap, beyond where the big cutter left its wall, 3 mm from the corner. So along the walls of such a
    square of 2.5 mm and back at most: 10 mm in each corner, where clearing all takes area over advance, 3,000 mm.
    """
    _, second = motions(shop, AREA)
    ways = flat(second)
    inner = shapely.box(61, 61, 119, 99)
    corners = [shapely.box(x - 2.51, y - 2.51, x + 2.51, y + 2.51) & inner for x in (61, 119) for y in (61, 99)]
    assert shapely.covers(shapely.buffer(shapely.union_all(corners), 0.004), shapely.multilinestrings(ways))
    length = sum(way.length for way in ways)
    assert 4 * 2 * (BIG - SMALL) < length < 4 * 10
    assert length < 0.015 * 60 * 40 / 0.8


def test_it_goes_down_where_the_big_cutter_has_been(shop: Any) -> None:
    """In none of the corners does the small cutter stand on what is left when it begins to go down."""
    _, second = motions(shop, AREA)
    left = shapely.difference(shapely.box(60, 60, 120, 100), reach(shapely.box(60, 60, 120, 100), BIG))
    c, r = second.curve, second.roles
    down = np.flatnonzero((r == Role.APPROACH) & (c.nodes[:-1, 2] == 2) & (c.nodes[1:, 2] == 0))
    assert len(down) == 4
    for x, y in c.nodes[down, :2]:
        assert left.distance(shapely.Point(x, y)) > SMALL
