"""Bridges: on straights, apart, two at least; the loop is sampled here to see what lies under each."""

from __future__ import annotations

import contextlib
import math

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.strategy import Bridge
from kerfwright_plugins.bridges.spacing import Spacing

WAYS_OUT = "make them narrower, hold the sheet by tape, or clear it to dust with a pocket"


def loops(shape: shapely.Polygon, radius: float) -> list[Curve]:
    """Ways of the cutter's center around the shape and in its holes, wall on the right."""
    around = shapely.orient_polygons(shapely.buffer(shape, 30).difference(offset(shape, radius)))
    rings = rings_of(around)
    outside = shapely.buffer(shape, 20)
    return [c for c in recover(rings) if outside.contains(shapely.Point(c.start[:2]))]


def turning(loop: Curve, s: float, half: float) -> tuple[float, float]:
    """How much (rad) a loop turns within `half` of length `s`, and the sharpest single bend there."""
    x = np.arange(s - half, s + half, 0.01) % loop.length
    bends = np.abs((np.diff(loop.at(x)[1]) + np.pi) % (2 * np.pi) - np.pi)
    return float(bends.sum()), float(bends.max())


def test_bridges_lie_on_straights_and_apart(shape: shapely.Polygon) -> None:
    """Or there is no room, and every loop without room is named in the table below."""
    for radius in (0.5, 1.0):
        for loop in loops(shape, radius):
            strategy, kerf = Spacing(spacing=20), 2 * radius
            try:
                bridges = strategy(loop, kerf)
            except NoRoom:
                continue
            assert len(bridges) >= 2
            assert [b.s for b in strategy(loop, kerf)] == [b.s for b in bridges]
            s = np.array([b.s for b in bridges])
            assert np.diff(np.append(s, s[0] + loop.length)).min() > strategy.width + kerf
            for b in bridges:
                total, sharpest = turning(loop, b.s, (b.width + kerf) / 2)
                assert total < 0.72
                assert sharpest < 0.1


@pytest.mark.parametrize(
    ("name", "outer", "inner"),
    [
        ("plate", 11, [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 3]),  # 200 + 2 pi round; the slot's way is 2 (18 + 3)
        ("neck", 8, []),  # 137 round, and 4 pi at eight corners out less 8 at four corners in
        ("gear", 0, []),
        ("rib", 10, [0, 0]),
        ("ring", 3, [2]),  # 18 pi and 11.2 pi
        ("tiny", 0, []),
    ],
)
def test_how_many_where(shapes: dict[str, shapely.Polygon], name: str, outer: int, inner: list[int]) -> None:
    """With a 2 mm cutter, width 0.8 and a bridge every 20 mm or less; 0 where there is no room."""

    def count(loop: Curve) -> int:
        try:
            return len(Spacing(spacing=20)(loop, 2.0))
        except NoRoom:
            return 0

    found = loops(shapes[name], 1.0)
    assert [count(c) for c in found if c.signed_area < 0] == [outer]
    assert sorted(count(c) for c in found if c.signed_area > 0) == inner


def test_they_are_as_even_as_straights_allow() -> None:
    """60 x 40 mm, every 40 mm: six of them, none further than 40 mm from the next."""
    (loop,) = recover(rings_of(offset(shapely.box(0, 0, 60, 40), 1.0)))
    s = np.array([b.s for b in Spacing()(loop, 2.0)])
    assert len(s) == 6
    assert np.diff(np.append(s, s[0] + loop.length)).max() <= 40


def test_a_straight_is_taken_before_a_curve() -> None:
    """Half circles of 10 mm at both ends of two straights of 60: spacing that would meet the curves is moved."""
    slot = shapely.LineString([(0, 0), (60, 0)]).buffer(10, quad_segs=200)
    (loop,) = recover(rings_of(offset(slot, 1.0)))
    for spacing in (30, 50, 65):
        for b in Spacing(spacing=spacing)(loop, 2.0):
            assert turning(loop, b.s, 1.4)[0] < 1e-3


def test_each_bridge_carries_what_was_asked() -> None:
    (loop,) = recover(rings_of(offset(shapely.box(0, 0, 60, 40), 1.0)))
    for b in Spacing(width=1.2, thickness=0.5, slope=45)(loop, 2.0):
        assert b == Bridge(b.s, 1.2, 0.5, pytest.approx(1.0))
    assert {b.slope for b in Spacing()(loop, 2.0)} == {math.inf}


@pytest.mark.parametrize(
    ("shape", "width", "message"),
    [
        (
            shapely.box(0, 0, 1.5, 3.5),
            0.8,
            "an outline of 16.3 mm has no room for two bridges 0.8 mm wide: each needs 2.8 mm of straight away from "
            f"corners and radii under 2.0 mm; {WAYS_OUT}",
        ),
        (
            shapely.Point(0, 0).buffer(1.5, quad_segs=100),
            0.8,
            f"an outline of 15.7 mm has no room for two bridges 0.8 mm wide: each needs 2.8 mm of straight away from "
            f"corners and radii under 2.0 mm; {WAYS_OUT}",
        ),
        (
            shapely.box(0, 0, 12, 12),
            9.0,
            f"an outline of 54.3 mm has no room for two bridges 9 mm wide: each needs 11.0 mm of straight away from "
            f"corners and radii under 2.0 mm; {WAYS_OUT}",
        ),
    ],
)
def test_where_there_is_no_room(shape: shapely.Polygon, width: float, message: str) -> None:
    (loop,) = recover(rings_of(offset(shape, 1.0)))
    with pytest.raises(NoRoom) as told:
        Spacing(width=width)(loop, 2.0)
    assert str(told.value) == message


def test_the_loop_is_left_alone(shape: shapely.Polygon) -> None:
    for loop in loops(shape, 1.0):
        before = loop.nodes.tobytes() + loop.turns.tobytes()
        with contextlib.suppress(NoRoom):
            Spacing()(loop, 2.0)
        assert loop.nodes.tobytes() + loop.turns.tobytes() == before
