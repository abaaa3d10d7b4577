"""Ways down tried in turn, and what is told of it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from attrs import define

from kerfwright.curve import Curve
from kerfwright.errors import InputError, NoRoom
from kerfwright.material import Material
from kerfwright.placing import place
from kerfwright.placing.defaults import INSTEAD, NAMES, instead
from kerfwright.planning import plan_setup
from kerfwright.planning.entering import entered, offers
from kerfwright.planning.run import Run
from kerfwright.program import Motion
from kerfwright.registry import Registry
from kerfwright.room import Room
from kerfwright.strategy import Entry

ROOM = Room(shapely.box(0, 0, 9, 9))
CUT = Curve.line([[0, 0], [1, 0]])


@define(frozen=True, kw_only=True)
class Picky(Entry):
    """Straight down, but only on cuts of some length; falls back on nothing."""

    name = "picky"
    least: float = 1e9

    def enter(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        if cut.length < self.least:
            raise NoRoom(f"shorter than {self.least:g}")
        x, y = cut.start[:2]
        return Curve.line([[x, y, top], [x, y, bottom]]), 0.0


@define(frozen=True, kw_only=True)
class Plain(Picky):
    name = "plain"
    least: float = 0.0


def run(entry: Entry) -> Run:
    way, _ = entry(CUT, 0, -1, ROOM)
    return Run(CUT, np.array([2]), np.array([0]), ROOM, way, entry)


def test_the_first_that_finds_room_is_taken() -> None:
    assert entered([Plain(), Picky()], run).told == ()
    one = entered([Picky(), Picky(least=5), Plain(), Picky(least=0.5)], run)
    assert one.entry == Plain()
    assert one.told == ("entry plain: no room for picky (shorter than 1e+09), no room for picky (shorter than 5)",)


@pytest.mark.parametrize(
    ("entries", "message"),
    [
        ([Picky(least=3)], "shorter than 3"),
        ([Picky(least=3), Picky(least=2)], "no room for picky (shorter than 3), no room for picky (shorter than 2)"),
    ],
)
def test_where_none_does(entries: list[Entry], message: str) -> None:
    with pytest.raises(NoRoom) as told:
        entered(entries, run)
    assert str(told.value) == message


def test_every_start_is_offered_before_a_second_entry() -> None:
    a, b = Plain(), Picky()
    assert offers([a, b], [3.0, 7.0]) == [([a], 3.0), ([a], 7.0), ([a, b], 3.0), ([a, b], 7.0)]


def test_only_what_the_job_leaves_open_has_others(shop: Any) -> None:
    registry = Registry.load()
    assert INSTEAD["entry"] == ("helix", "toolaxis")
    tried = instead(shop.profile(), registry)
    assert [[e.name for e in some] for some in tried.values()] == [["helix", "toolaxis"]]
    assert list(tried) == ["entry"]
    assert instead(shop.profile(entry=Plain()), registry) == {}
    assert instead(shop.drilling(), registry) == {}
    assert instead(shop.profile(), Registry()) == {}
    assert all(kind in NAMES for kind in INSTEAD)


def test_place_says_what_is_tried(shop: Any) -> None:
    job = shop.job(shop.drilling(), shop.profile(bridges=None), sheet=shop.sheet(material=Material(), hold="tape"))
    (setup,) = place(job, Registry.load())
    assert [sorted(w.instead) for w in setup.works] == [[], ["entry"]]


def plan(shop: Any, entry: Entry, *spare: Entry, pocket: bool = False) -> tuple[Motion, str]:
    """A plate of 60 x 40 mm with three holes; `entry` as if the job had left it open."""
    registry = Registry.load()
    holes = [shop.hole(10 + 12 * k, 10, 4.0 + 2 * k) for k in range(3)]
    part = shop.part("plate", shop.box(0, 0, 60, 40), *holes)
    o = shop.pocket(entry=entry) if pocket else shop.profile(select=shop.inner, bridges=None, entry=entry)
    job = shop.job(o, shop.profile(bridges=None), parts=(part,), sheet=shop.sheet(hold="tape"))
    (setup,) = place(job, registry)
    object.__setattr__(setup.works[0], "instead", {"entry": spare})
    (program,) = plan_setup(setup, registry)
    return next(s for s in program.steps if isinstance(s, Motion)), "\n".join(program.told)


def test_each_outline_takes_what_fits_it(shop: Any) -> None:
    """Center circles of 2 pi, 4 pi and 6 pi mm: an entry that asks for 10 mm fails in the smallest alone."""
    _, told = plan(shop, Picky(least=10), Picky(least=8), Plain())
    assert told == (
        "operations[0].profile, part 'plate' copy 1, circle of 4.000 mm at (30.000, 30.000): entry plain: "
        "no room for picky (shorter than 10), no room for picky (shorter than 8)"
    )


def test_in_a_pocket_every_start_is_tried_first(shop: Any) -> None:
    """The innermost ring of each hole is a circle that is too short, all others are long enough."""
    _, told = plan(shop, Picky(least=10), Plain(), pocket=True)
    lines = told.splitlines()
    assert len(lines) == 1
    assert lines[0].startswith("operations[0].pocket, part 'plate' copy 1, circle of 4.000 mm at (30.000, 30.000)")
    assert lines[0].endswith(": entry plain: no room for picky (shorter than 10)")
    motion, told = plan(shop, Picky(least=1e-3), Plain(), pocket=True)
    assert told == ""
    assert motion.told == ()


def test_without_others_it_is_refused(shop: Any) -> None:
    with pytest.raises(InputError, match=r"circle of 4\.000 mm at .*: no room: shorter than 10"):
        plan(shop, Picky(least=10))
