"""Placing is a turn and a shift and nothing else; and whatever a job asks for, it is placed or refused in words."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kerfwright.errors import InputError
from kerfwright.placing import place
from kerfwright.sheet import Zero

CASES = 60
LENGTH = st.floats(-500, 500)
QUIET = settings(max_examples=CASES, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


def test_a_turn_and_a_shift(shop: Any) -> None:
    """The lower left corner of the extent is at `at`, less zero; sides and the hole's distances stay what they were.

    Positions may lie outside the sheet (a fault), so the sheet is large and zero in its middle. All 60 cases are reached.
    """
    reached = []
    sheet = {"size": (2000.0, 2000.0), "breakthrough": 0.4, "hold": "tape"}

    @QUIET
    @given(st.floats(0, 1500), st.floats(0, 1500), st.floats(-720, 720), LENGTH, LENGTH)
    def turned(x: float, y: float, turn: float, zx: float, zy: float) -> None:
        job = shop.job(
            parts=(shop.plate(at=((x, y),), turn=turn),), sheet=shop.sheet(**sheet, zero=Zero(x=zx, y=zy)),
            machine=type(shop.machine)(name="wide", spindle=shop.machine.spindle, feed=shop.machine.feed, rapid=shop.machine.rapid),
        )  # fmt: skip
        outer, hole = shop.place(job).pieces[0].loops
        x0, y0, x1, y1 = outer.curve.bounds
        # the extent of a turned rectangle of 60 x 40
        c, s = abs(math.cos(math.radians(turn))), abs(math.sin(math.radians(turn)))
        assert math.dist((x0, y0), (x - zx, y - zy)) < 1e-8
        assert math.dist((x1 - x0, y1 - y0), (60 * c + 40 * s, 60 * s + 40 * c)) < 1e-8
        corner, along = outer.curve.nodes[0, :2], outer.curve.nodes[1, :2]
        assert abs(math.dist(corner, (hole.circle.x, hole.circle.y)) - math.hypot(10, 5)) < 1e-6
        way = math.degrees(math.atan2(along[1] - corner[1], along[0] - corner[0]))
        assert abs((way - turn + 180) % 360 - 180) < 1e-6
        reached.append(1)

    turned()
    assert len(reached) == CASES


def test_placed_or_refused_in_words(shop: Any) -> None:
    """Operations in any number and order, with any depth and selection: a setup, or faults that each have path and words.

    All 60 cases end in one of the two, and both happen.
    """
    ends = {"placed": 0, "refused": 0}
    parts = (
        shop.part("plate", shop.box(0, 0, 60, 40, "cut"), shop.box(10, 10, 20, 10, "recess"), shop.hole(45, 20, 1.6), shop.hole(20, 15, 1.6)),
        shop.part("ring", shop.hole(0, 0, 30, "cut"), shop.hole(0, 0, 20), at=((100.0, 20.0), (140.0, 20.0))),
    )  # fmt: skip
    selections = [
        shop.inner, shop.outer, shop.select({}), shop.select({"layer": "cut"}), shop.select({"layer": "recess"}),
        shop.select({"circles": (1.6, 1.6)}), shop.select({"part": "ring"}, {"layer": "cut"}), shop.select(),
    ]  # fmt: skip
    depths = st.sampled_from([None, 0.8, 1.2, 2.0, 5.0, -1.0, math.nan])
    one = st.tuples(
        st.sampled_from(["profile", "pocket", "drilling"]),
        st.sampled_from(selections),
        depths,
        st.sampled_from([0.0, 0.0, 0.8]),
        st.sampled_from([None, shop.bridges]),
    )

    def operation(kind: str, select: Any, depth: Any, start: float, bridges: Any) -> Any:
        more = {} if kind == "drilling" else {"bridges": bridges}
        return getattr(shop, kind)(select=select, depth=depth, start=start, **more)

    sound = [
        shop.pocket(select=selections[4]),
        shop.drilling(select=selections[5]),
        shop.profile(select=selections[0]),
        shop.profile(select=selections[3]),
    ]

    @QUIET
    @given(st.permutations(sound), st.lists(one, max_size=2), st.sampled_from([(), ("screws",), ("tape",)]))
    def tried(order: Any, asked: Any, how: Any) -> None:
        """Sound operations in any order, or in their own and with others after them."""
        some = [*sound, *(operation(*a) for a in asked)] if how else order
        job = shop.job(*some, parts=parts, sheet=shop.sheet(hold=(*how, "screws")[0]))
        faults: Any = None
        try:
            (setup,) = place(job, shop.registry)
        except InputError as e:
            faults = e.faults
        if faults is None:
            assert len(setup.works) == len(job.operations)
            ends["placed"] += 1
        else:
            assert faults
            assert all(f.path and f.message for f in faults)
            assert len(set(faults)) == len(faults)
            ends["refused"] += 1

    tried()
    assert ends["placed"] + ends["refused"] == CASES
    assert ends["placed"] >= 3
    assert ends["refused"] >= 3


def test_no_part_is_refused(shop: Any) -> None:
    assert shop.faults(shop.job(parts=(), sheet=shop.sheet(size=None))) == [
        "parts: found none, allowed: at least one part"
    ]
