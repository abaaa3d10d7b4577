"""Ways down that leave the cut: helix and zigzag. On every outline, and where there is no room."""

from __future__ import annotations

import math
from contextlib import suppress

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.room import Room
from kerfwright.strategy import Entry
from kerfwright_plugins.entry.helix import Helix
from kerfwright_plugins.entry.zigzag import Zigzag

ENTRIES = [Helix(), Helix(angle=20, radius=0.3), Zigzag(), Zigzag(angle=12, length=1.5)]
WIDE = Room(shapely.box(-50, -50, 50, 50), radius=1.0)
SQUARE = Curve.line([[4, 0], [4, 4], [-4, 4], [-4, 0], [4, 0]])


def cuts(shape: shapely.Polygon) -> tuple[list[Curve], Room]:
    """Loops around a shape and in its holes for a 2 mm cutter, wall on the right."""
    around = shapely.orient_polygons(shapely.buffer(shape, 30).difference(offset(shape, 1.0)))
    loops = [c for c in recover(rings_of(around)) if not (c.bounds[0] < shape.bounds[0] - 20)]
    return loops, Room(around, radius=1.0)


def begun(loop: Curve, entry: Entry, room: Room) -> Curve:
    """From the first middle of a long segment where there is room: in a gap hardly wider than the cutter there is none."""
    for k in np.argsort(-loop.lengths):
        cut = loop.turned_to(float(loop.s[k] + loop.lengths[k] / 2))
        with suppress(NoRoom):
            entry(cut, 0.0, -1.0, room)
            return cut
    raise AssertionError("no room at any start")


@pytest.mark.parametrize("entry", ENTRIES, ids=repr)
def test_ways_keep_their_promise_on_every_outline(shape: shapely.Polygon, entry: Entry) -> None:
    """Measured here once more: from the start back to it, falling at the angle or less, off the part by a radius."""
    loops, room = cuts(shape)
    walls = shapely.boundary(shape)
    for loop in loops:
        cut = begun(loop, entry, room)
        before = cut.nodes.tobytes() + cut.turns.tobytes()
        way, at = entry(cut, 0.5, -1.9, room)
        again, _ = entry(cut, 0.5, -1.9, room)
        assert way.nodes.tobytes() + way.turns.tobytes() == again.nodes.tobytes() + again.turns.tobytes()
        assert cut.nodes.tobytes() + cut.turns.tobytes() == before
        assert at == 0
        assert way.start.tolist() == pytest.approx([*cut.start[:2], 0.5])
        assert way.end.tolist() == pytest.approx([*cut.start[:2], -1.9])
        slope = -np.diff(way.nodes[:, 2]) / way.lengths
        assert (slope > 0).all()
        assert slope.max() <= math.tan(math.radians(entry.angle)) * (1 + 1e-6)  # type: ignore[attr-defined]
        assert shapely.distance(walls, way.path(0.0005)) > 1 - 0.006
        assert not shapely.intersects(shape, way.path())


def test_a_helix_is_as_wide_as_the_room_allows() -> None:
    """Beside a straight cut: 0.9 of a cutter's radius in the open; between walls 1 mm apart no more than half of that."""
    for width, least, most in ((30.0, 0.9, 0.9), (1.0, 0.4, 0.5 + 0.004), (0.3, 0.1, 0.15 + 0.004)):
        way, _ = Helix(angle=5)(SQUARE, 0, -1, Room(shapely.box(4 - width, -9, 4, 9), radius=1.0))
        x0, y0, x1, y1 = way.bounds
        assert x1 == pytest.approx(4)  # wall on the right: it touches the start there
        assert 2 * least - 1e-9 <= x1 - x0 == pytest.approx(y1 - y0)
        assert x1 - x0 <= 2 * most + 1e-9


def test_the_radius_of_a_helix_may_be_said() -> None:
    for radius in (0.2, 0.9, 3.0):
        x0, _, x1, _ = Helix(radius=radius)(SQUARE, 0, -1, WIDE)[0].bounds
        assert x1 - x0 == pytest.approx(2 * radius)


def test_turns_of_a_helix_are_full_and_even() -> None:
    """2 pi 0.5 mm at 10 degrees fall 0.554 mm: 2 mm take four turns of 0.5 mm."""
    way, at = Helix(angle=10, radius=0.5)(SQUARE, 0, -2, WIDE)
    assert at == 0
    start = np.hypot(*(way.nodes[:, :2] - SQUARE.start[:2]).T) < 1e-9
    assert way.nodes[start, 2] == pytest.approx([0, -0.5, -1, -1.5, -2])
    assert (way.turns > 0).all()


def test_a_helix_that_fits_a_cut_fits_each_of_its_levels() -> None:
    """The width does not depend on the depth."""
    room = Room(shapely.box(3, -9, 4, 9), radius=1.0)
    shallow, deep = (Helix()(SQUARE, 0, -z, room)[0] for z in (0.01, 5.0))
    assert shallow.bounds == pytest.approx(deep.bounds)


def test_a_zigzag_stays_on_the_straight_where_the_cut_starts() -> None:
    """4 mm of straight, then a corner; 10 mm of way at 45 degrees: twice there and back, 2.5 mm each."""
    way, at = Zigzag(angle=45, length=5)(SQUARE, 0, -10, WIDE)
    assert at == 0
    assert way.nodes[:, 1] == pytest.approx([0, 2.5, 0, 2.5, 0])
    assert way.nodes[:, 2] == pytest.approx([0, -2.5, -5, -7.5, -10])
    assert (way.nodes[:, 0] == 4).all()
    long, _ = Zigzag(angle=45, length=50)(SQUARE, 0, -10, WIDE)
    assert long.nodes[:, 1].max() == pytest.approx(2.5)  # 4 mm, and no longer than it must be
    short, _ = Zigzag(angle=45, length=1)(SQUARE, 0, -10, WIDE)
    assert short.nodes[:, 1].max() == pytest.approx(1)


def test_a_straight_piece_in_several_segments_is_one() -> None:
    line = Curve.line([[0, 0], [1, 0], [2, 0], [3, 0], [3, 5]])
    assert Zigzag(angle=45, length=50)(line, 0, -6, WIDE)[0].bounds == pytest.approx((0, 0, 3, 0))


def test_a_way_back_is_no_straight_piece() -> None:
    """Out to a relief and back: the piece ends where the way turns round."""
    line = Curve.line([[0, 0], [1, 0], [0, 0], [0, 9]])
    assert Zigzag(angle=45, length=50)(line, 0, -6, WIDE)[0].bounds == pytest.approx((0, 0, 1, 0))


def test_a_zigzag_on_an_arc_goes_square_off_it() -> None:
    """In a hole of 6 mm across for the center: from (3, 0) inwards, 2 mm."""
    way, _ = Zigzag(angle=10, length=2)(
        Curve.circle(0, 0, 3), 0, -1, Room(shapely.Point(0, 0).buffer(3, 64), radius=1.0)
    )
    x0, y0, x1, y1 = way.bounds
    assert (x0, x1) == pytest.approx((3 - way.lengths.max(), 3))
    assert (y0, y1) == pytest.approx((0, 0))
    assert 1 < way.lengths.max() <= 2


NARROW = Room(shapely.box(3.95, -9, 4, 9), radius=1.0)
REFUSED = [
    (Helix(), SQUARE, NARROW, "beside the start not even a helix of 0.1 mm radius fits"),
    (Helix(radius=0.03), SQUARE, Room(shapely.box(4, -9, 4.001, 9), radius=1.0), "beside the start not even a helix of 0.03 mm radius fits"),
    (Helix(), SQUARE, Room(shapely.box(3.95, -9, 4, 9)), "beside the start not even a helix of 0.1 mm radius fits"),
    (Zigzag(), Curve.line([[0, 0], [0.04, 0], [0.04, 0.04]]), NARROW, "at the start of the cut there is no straight piece of 0.05 mm"),
    (Zigzag(), Curve.circle(0, 0, 0.02), Room(shapely.Point(0, 0).buffer(0.02), radius=1.0), "at the start of the cut there is no straight piece of 0.05 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("entry", "cut", "room", "message"), REFUSED)
def test_no_room(entry: Entry, cut: Curve, room: Room, message: str) -> None:
    with pytest.raises(NoRoom) as told:
        entry(cut, 0.0, -1.0, room)
    assert str(told.value) == message
