"""A lead gives way to an entry that finds no room at its far end, and that is told."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from attrs import define

from kerfwright.curve import EMPTY, Curve
from kerfwright.errors import NoRoom
from kerfwright.planning.held import Held
from kerfwright.planning.starts import begun, between, candidates, opened
from kerfwright.program import Role
from kerfwright.room import Room
from kerfwright.strategy import Entry, Lead

SQUARE = Curve.line([[0, 0], [10, 0], [10, 10], [0, 10], [0, 0]])
ROOM = Room(shapely.box(-5, -5, 15, 15))


@define(frozen=True, kw_only=True)
class Straight(Lead):
    """From 1 mm to the left of the start."""

    name = "straight"

    def lead(self, cut: Curve, room: Room) -> tuple[Curve, Curve]:
        (a,) = cut.at(0)[1]
        return Curve.line([cut.start + [-np.sin(a), np.cos(a), 0], cut.start]), EMPTY


@define(frozen=True, kw_only=True)
class Picky(Entry):
    """Straight down, where `good` allows it."""

    name = "picky"
    good: Any = None

    def enter(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        if not self.good(*cut.start[:2].round(6).tolist()):
            raise NoRoom("not there")
        return Curve(np.array([[*cut.start[:2], top], [*cut.start[:2], bottom]]), np.zeros(1)), 0.0


def run(good: Any, cut: Curve = SQUARE, starts: tuple[float, ...] = (5.0, 15.0)) -> Any:
    entry = Picky(good=good)
    waste = np.ones(len(cut), np.int64)
    if cut.closed:
        return begun(cut, waste, np.array(starts), ROOM, Straight(), (0.0, -1.0), entry)
    return opened(cut, waste, np.full(len(cut), Role.CONTACT), ROOM, Straight(), (0.0, -1.0), entry)


CASES = [
    # where the entry has room, where the cut begins, with a lead or not: by hand, starts at (5, 0) and (10, 5)
    (lambda x, y: True, (5.0, 1.0), True),
    (lambda x, y: x > 6, (9.0, 5.0), True),
    (lambda x, y: (x, y) in [(5, 0), (9, 5)], (9.0, 5.0), True),  # another start before no lead
    (lambda x, y: (x, y) in [(5, 0), (10, 5)], (5.0, 0.0), False),
    (lambda x, y: (x, y) == (10, 5), (10.0, 5.0), False),
]


@pytest.mark.parametrize(("good", "start", "has"), CASES)
def test_a_closed_cut(good: Any, start: tuple[float, float], has: bool) -> None:
    found = run(good)
    assert tuple(found.curve.start[:2]) == pytest.approx(start)
    assert bool((found.roles == Role.APPROACH).any()) is has
    assert found.told == (() if has else ("no lead, the cut begins and ends on the wall: the entry finds no room beside it",))  # fmt: skip


def test_an_open_cut_begins_where_it_begins() -> None:
    cut = Curve.line([[0, 0], [10, 0]])
    assert run(lambda x, y: True, cut).curve.start[:2].tolist() == [0, 1]
    bare = run(lambda x, y: y == 0, cut)
    assert bare.curve.start[:2].tolist() == [0, 0]
    assert bare.told


@pytest.mark.parametrize("cut", [SQUARE, Curve.line([[0, 0], [10, 0]])], ids=["closed", "open"])
def test_no_room_anywhere(cut: Curve) -> None:
    with pytest.raises(NoRoom, match=r"^not there$"):
        run(lambda x, y: False, cut)


OVAL = Curve.line(
    [[30 * np.cos(a), 10 * np.sin(a)] for a in np.linspace(0, 2 * np.pi, 401)[:-1]] + [[30, 0]]
)  # the longest of its 400 chords lie where it is flattest: around X 0
BARE = Room(shapely.box(-50, -50, 50, 50))


def oval(good: Any, held: Held) -> Any:
    starts, spare = candidates(OVAL, held, 1.0), between(OVAL, held, 1.0)
    assert np.abs(OVAL.at(starts)[0][:, 0]).max() < 3
    return begun(
        OVAL, np.ones(len(OVAL), np.int64), starts, BARE, Straight(), (0.0, -1.0), Picky(good=good), spare=spare
    )


def test_a_loop_of_many_short_segments_has_starts_all_around() -> None:
    """Room at its left end only, where none of its longest segments lies; and not on a bridge there."""
    assert oval(lambda x, y: x < -25, Held.none()).curve.nodes[0, 0] < -25
    bridge = Held(np.array([[-30.0, 0.0]]), np.array([[-1.0, 0.0]]), *[np.array([v]) for v in (3.0, 0.4, -1.1, np.inf)])
    assert bridge.gap(OVAL.at(between(OVAL, bridge, 1.0))[0][:, :2]).min() > 1.0
    with pytest.raises(NoRoom, match="not there"):
        oval(lambda x, y: x < -31, Held.none())
