"""Ways down: where they begin, end and run."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.room import Room
from kerfwright.strategy import Entry
from kerfwright_plugins.entry.ramp import Ramp
from kerfwright_plugins.entry.toolaxis import Toolaxis

ENTRIES = [Toolaxis(), Ramp(), Ramp(angle=30)]


def cuts(shape: shapely.Polygon) -> tuple[list[Curve], Room]:
    """Loops around a shape and in its holes for a 2 mm cutter, and open pieces of them, wall on the right."""
    around = shapely.orient_polygons(shapely.buffer(shape, 30).difference(offset(shape, 1.0)))
    loops = recover(rings_of(around))
    return [*loops, *[c.between(0, 0.3 * c.length) for c in loops], *[c.between(0, 0.4) for c in loops]], Room(around)


@pytest.mark.parametrize("entry", ENTRIES, ids=repr)
def test_ways_keep_their_promise_on_every_outline(shape: shapely.Polygon, entry: Entry) -> None:
    """Begin above the start, never rise, stay on the cut, end on it at the bottom: measured here once more."""
    loops, room = cuts(shape)
    for cut in loops:
        before = cut.nodes.tobytes() + cut.turns.tobytes()
        way, at = entry(cut, 0.5, -1.9, room)
        again, at_again = entry(cut, 0.5, -1.9, room)
        assert way.nodes.tobytes() + way.turns.tobytes() == again.nodes.tobytes() + again.turns.tobytes()
        assert at == at_again
        assert cut.nodes.tobytes() + cut.turns.tobytes() == before
        assert way.start.tolist() == pytest.approx([*cut.start[:2], 0.5])
        assert way.end.tolist() == pytest.approx([*cut.at(at)[0][0, :2], -1.9], abs=1e-6)
        assert np.diff(way.nodes[:, 2]).max() <= 0
        line = cut.path(1e-5)
        shapely.prepare(line)
        assert shapely.dwithin(line, shapely.points(way.flat(1e-5)[0][:, :2]), 2e-5).all()


@pytest.mark.parametrize("angle", [2.0, 12.0])
def test_a_ramp_falls_at_its_angle_everywhere(shape: shapely.Polygon, angle: float) -> None:
    """Within what a piece shortened or snapped to the start may change: 0.001 mm of way, or a piece of 0.05 mm."""
    loops, room = cuts(shape)
    for cut in loops:
        way, _ = Ramp(angle=angle)(cut, 0.0, -2.4, room)
        slope = -np.diff(way.nodes[:, 2]) / way.lengths
        assert slope == pytest.approx(np.full(len(way), math.tan(math.radians(angle))), rel=1e-4)


def test_around_a_closed_cut_a_ramp_goes_on_where_it_is() -> None:
    """40 mm round at 45 degrees for 50 mm: one lap and 10 mm."""
    square = Curve.line([[0, 0], [0, 10], [10, 10], [10, 0], [0, 0]])
    way, at = Ramp(angle=45)(square, 0.0, -50.0, Room(shapely.box(-1, -1, 11, 11)))
    assert at == pytest.approx(10)
    assert way.length == pytest.approx(50)
    assert way.end == pytest.approx([0, 10, -50])


def test_a_ramp_of_whole_laps_ends_at_the_start() -> None:
    square = Curve.line([[0, 0], [0, 10], [10, 10], [10, 0], [0, 0]])
    for depth in (40.0, 80.0, 80.0004, 79.9996):
        way, at = Ramp(angle=45)(square, 0.0, -depth, Room(shapely.box(-1, -1, 11, 11)))
        assert at == 0
        assert way.length == pytest.approx(40 * round(depth / 40))
        assert way.end.tolist() == [0, 0, -depth]


def test_to_and_fro_on_a_short_cut() -> None:
    """3 mm of cut, 14 mm of way: three times there and back over 14/6 mm each."""
    way, at = Ramp(angle=45)(Curve.line([[0, 0], [3, 0]]), 0.0, -14.0, Room(shapely.box(-1, -1, 4, 1)))
    assert at == 0
    assert way.nodes[:, 0] == pytest.approx([0, 14 / 6, 0, 14 / 6, 0, 14 / 6, 0])
    assert way.nodes[:, 2] == pytest.approx([-14 / 6 * k for k in range(7)])


@pytest.mark.parametrize(
    ("cut", "message"),
    [
        (Curve.line([[0, 0], [0.03, 0]]), "a cut of 0.030 mm is too short for a ramp; enter along the tool axis there"),
        (Curve.circle(0, 0, 0.005), "a cut of 0.031 mm is too short for a ramp; enter along the tool axis there"),
    ],
)
def test_where_a_ramp_has_no_room(cut: Curve, message: str) -> None:
    with pytest.raises(NoRoom) as told:
        Ramp()(cut, 0.0, -1.0, Room(shapely.box(-1, -1, 1, 1)))
    assert str(told.value) == message
    assert Toolaxis()(cut, 0.0, -1.0, Room(shapely.box(-1, -1, 1, 1)))[1] == 0
