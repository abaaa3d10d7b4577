"""Programs of a sheet: their order, names, first and last steps, drill strokes, and the walk-round. Values by hand."""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
import pytest

from kerfwright.cutter import Cutter
from kerfwright.errors import BrokenPromise, InputError, NoRoom
from kerfwright.machine import Spindle
from kerfwright.operation import Operation
from kerfwright.placing import place
from kerfwright.planning import plan, plan_setup, walk_round
from kerfwright.program import CutterChange, Drilling, Motion, Note, Pause, Program, SpindleOff, SpindleOn
from kerfwright.registry import Registry
from kerfwright.sheet import Zero
from kerfwright.strategy import Entry, Route

REGISTRY = Registry.load()


def kinds(program: Program) -> list[str]:
    return [type(s).__name__ for s in program.steps if not isinstance(s, Note)]


def free(shop: Any, *operations: Operation, **more: Any) -> Any:
    return shop.job(*operations, sheet=shop.sheet(hold="tape"), **more)


def test_consecutive_operations_with_one_cutter(shop: Any) -> None:
    """Mill, drill, mill twice: three programs."""
    groove = shop.profile(waste="line", depth=0.5, bridges=None)
    deeper = shop.profile(waste="line", depth=0.9, bridges=None)
    job = free(shop, groove, shop.drilling(), deeper, shop.profile(bridges=None))
    programs = plan(job, REGISTRY)
    assert [p.name for p in programs] == ["station-1-mill", "station-2-drill", "station-3-mill"]
    assert [p.kind for p in programs] == ["program"] * 3
    assert [p.cutter.name for p in programs] == ["mill", "drill", "mill"]
    assert [p.travel for p in programs] == [8.0] * 3
    assert kinds(programs[1]) == ["Pause", "CutterChange", "SpindleOn", "Drilling", "SpindleOff"]
    assert kinds(programs[2]) == ["Pause", "CutterChange", "SpindleOn", "Motion", "Motion", "SpindleOff"]


def test_what_a_program_begins_and_ends_with(shop: Any) -> None:
    machine = attrs.evolve(shop.machine, home=True, spindle=Spindle(least=6000, most=24000, wake_s=4.0, run_down_s=7.0, by_hand=True))  # fmt: skip
    (program, _) = plan(free(shop, shop.drilling(), shop.profile(bridges=None), machine=machine), REGISTRY)
    notes = [s.text for s in program.steps if isinstance(s, Note)]
    assert notes == [
        "station: program 1 of 2, sheet 1",
        "cutter drill, diameter 1.6 mm",
        "sheet plain, 2 mm, held by tape",
        "zero X left, Y front, Z on the top of the sheet",
        "eye protection on, extraction on, hands away",
    ]
    rest = [s for s in program.steps if not isinstance(s, Note)]
    assert rest[0] == CutterChange(shop.drill)
    assert rest[1] == SpindleOn(18000.0, 4.0, True)
    assert rest[-1] == SpindleOff(7.0)


def test_a_machine_without_home_stops_first(shop: Any) -> None:
    (program,) = plan(free(shop, shop.profile(bridges=None), ignore=shop.inner), REGISTRY)
    rest = [s for s in program.steps if not isinstance(s, Note)]
    assert rest[0] == Pause("machine has no reference switches: zero set? cutter above travel plane?")


def test_speed_changes_between_operations(shop: Any) -> None:
    """By hand: off, and a stop for the new speed. Else the new speed alone."""
    operations = (shop.profile(waste="line", depth=0.5, bridges=None, spindle=12000.0), shop.profile(bridges=None))
    (one,) = plan(free(shop, *operations, ignore=shop.inner), REGISTRY)
    assert kinds(one)[2:] == ["SpindleOn", "Motion", "SpindleOn", "Motion", "SpindleOff"]
    machine = attrs.evolve(shop.machine, spindle=Spindle(least=6000, most=24000, by_hand=True))
    (one,) = plan(free(shop, *operations, ignore=shop.inner, machine=machine), REGISTRY)
    assert kinds(one)[2:] == ["SpindleOn", "Motion", "SpindleOff", "SpindleOn", "Motion", "SpindleOff"]


def test_motions_follow_each_other(shop: Any) -> None:
    """The first begins over its first cut at the travel plane, the next where the last has ended."""
    operations = (shop.profile(waste="line", depth=0.5, bridges=None), shop.profile(bridges=None))
    (one,) = plan(free(shop, *operations, ignore=shop.inner), REGISTRY)
    first, then = [s for s in one.steps if isinstance(s, Motion)]
    assert first.curve.nodes[0, 2] == 8.0
    assert first.curve.nodes[1, :2].tolist() == first.curve.nodes[0, :2].tolist()
    assert then.curve.nodes[0].tolist() == first.curve.nodes[-1].tolist()
    assert first.curve.nodes[-1, 2] == 8.0


@pytest.mark.parametrize(
    ("z", "depth", "bottom", "approach", "travel"),
    [
        # 1.6 mm at 118 degrees: the point is 0.8 / tan(59) = 0.4807 mm long
        ("sheet_top", None, -2.4 - 0.4807, 2.0, 8.0),
        ("board_top", None, -0.4 - 0.4807, 4.0, 10.0),
        ("sheet_top", 1.0, -1.0, 2.0, 8.0),
        ("board_top", 1.0, 1.0, 4.0, 10.0),
    ],
)
def test_how_deep_a_drill_goes(shop: Any, z: str, depth: float | None, bottom: float, approach: float, travel: float) -> None:  # fmt: skip
    sheet = shop.sheet(hold="tape", zero=Zero(z=z))
    (program, _) = plan(shop.job(shop.drilling(depth=depth), shop.profile(bridges=None), sheet=sheet), REGISTRY)
    (step,) = [s for s in program.steps if isinstance(s, Drilling)]
    assert step.bottom == pytest.approx(bottom, abs=1e-4)
    assert (step.clear, step.travel, step.feed) == (approach, travel, 100.0)
    assert step.points.tolist() == [pytest.approx([30.0, 25.0])]


def test_walk_round_by_hand(shop: Any) -> None:
    """A plate of 60 x 40 at (20, 20), cutter 2 mm: centers 1 mm off the outline, the sweep 2 mm: 18 to 82 and 18 to 62."""
    (setup,) = place(free(shop, shop.drilling(), shop.profile(bridges=None)), REGISTRY)
    walk = walk_round(setup, plan_setup(setup, REGISTRY))
    assert (walk.name, walk.kind, walk.sheet, walk.travel) == ("station-walk-round", "walk-round", 1, 8.0)
    assert not any(isinstance(s, SpindleOn | SpindleOff | Drilling) for s in walk.steps)
    nodes = np.vstack([s.curve.nodes[-1:] for s in walk.steps if isinstance(s, Motion)])
    expected = [[18, 18, 8], [82, 18, 8], [82, 62, 8], [18, 62, 8], [18, 18, 8]]
    assert nodes == pytest.approx(np.array(expected, float), abs=0.002)
    stops = [type(s).__name__ for s in walk.steps if isinstance(s, Motion | Pause)]
    assert stops == ["Pause", *["Motion", "Pause"] * 5]
    corners = [s.message.split(":")[0] for s in walk.steps if isinstance(s, Pause)][-5:]
    assert corners == [
        "front left corner",
        "front right corner",
        "back right corner",
        "back left corner",
        "front left corner again",
    ]
    assert all((s.feeds == 3000.0).all() for s in walk.steps[6:] if isinstance(s, Motion))


class Narrow(Entry):
    name = "narrow"

    def enter(self, cut: Any, top: float, bottom: float, room: Any) -> Any:
        raise NoRoom("nowhere to go")


class Rising(Entry):
    name = "rising"

    def enter(self, cut: Any, top: float, bottom: float, room: Any) -> Any:
        from kerfwright.curve import Curve

        x, y = cut.start[:2]
        return Curve.line([[x, y, top], [x, y, top + 1], [x, y, bottom]]), 0.0


class Twice(Route):
    name = "twice"

    def order(self, starts: Any, ends: Any, before: Any, here: Any) -> Any:
        return np.zeros(len(starts), np.int64)


def test_no_room_is_the_jobs_fault(shop: Any) -> None:
    with pytest.raises(InputError) as e:
        plan(free(shop, shop.drilling(), shop.profile(bridges=None, entry=Narrow())), REGISTRY)
    assert str(e.value) == (
        "operations[1].profile.entry: part 'plate' copy 1, outline of 60.000 x 40.000 mm at (20.000, 20.000): "
        "no room: nowhere to go"
    )


@pytest.mark.parametrize(
    ("more", "rule"),
    [
        ({"entry": Rising()}, "a way never rises"),
        ({"route": Twice(), "select": "all"}, "an order names each block once"),
    ],
)
def test_a_broken_promise_is_the_plugins_fault(shop: Any, more: Any, rule: str) -> None:
    if "select" in more:
        more = {**more, "select": shop.select({})}
    part = shop.part("plate", shop.box(0, 0, 60, 40), shop.hole(20, 20, 10))
    with pytest.raises(BrokenPromise, match=rule):
        plan(free(shop, shop.profile(**{"select": shop.outer, "bridges": None, **more}), parts=(part,), ignore=None if "select" in more else shop.inner), REGISTRY)  # fmt: skip


def test_an_operation_that_answers_nothing(shop: Any) -> None:
    @attrs.frozen(kw_only=True)
    class Mark(Operation):
        kind = "mark"

    cutter: Cutter = shop.mill
    mark = Mark(cutter=cutter, select=shop.select({}), depth=0.2, spindle=18000.0, feed=500.0, plunge_feed=100.0, axial_depth=1.0, radial_depth=0.4)  # fmt: skip
    with pytest.raises(InputError, match=r"operations\[0\].mark: found 'mark', which answers no ways, allowed: an operation that does"):  # fmt: skip
        plan(free(shop, mark), REGISTRY)
