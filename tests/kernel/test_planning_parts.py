"""Stages of planning one by one, expected values by hand."""

from __future__ import annotations

import math
from typing import Any

import attrs
import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.drawing import Loop
from kerfwright.placing import place
from kerfwright.planning import plan
from kerfwright.planning.held import Held, Kerf, across
from kerfwright.planning.lifts import lifted
from kerfwright.planning.nesting import Nest
from kerfwright.planning.run import turned
from kerfwright.planning.sharing import shared
from kerfwright.planning.tidying import tidied
from kerfwright.program import Motion
from kerfwright.registry import Registry

REGISTRY = Registry.load()


def strips(*rows: tuple[float, ...]) -> Held:
    """Rows (x, y, out_x, out_y, far, half, z, slope)."""
    t = np.array(rows, float)
    return Held(t[:, :2], t[:, 2:4], *t[:, 4:].T)


def test_nesting_across_pieces(shop: Any) -> None:
    """A frame with an opening, a lid in that opening with a hole, and a recess in the frame that nothing cuts through."""
    frame = shop.part("frame", shop.box(0, 0, 100, 80), shop.box(10, 10, 60, 60), shop.box(75, 10, 20, 60, "recess"), at=((20.0, 20.0),))  # fmt: skip
    lid = shop.part("lid", shop.box(0, 0, 30, 30), shop.hole(15, 15, 10), at=((40.0, 40.0),))
    job = shop.job(
        shop.profile(select=shop.select({"part": "lid", "nesting": "inner"}), bridges=None),
        shop.profile(select=shop.select({"part": "lid", "nesting": "outer"}), bridges=None),
        shop.pocket(select=shop.select({"layer": "recess"})),
        shop.profile(select=shop.select({"part": "frame", "nesting": "inner"}), bridges=None),
        shop.profile(select=shop.select({"part": "frame", "nesting": "outer"}), bridges=None),
        parts=(frame, lid),
        sheet=shop.sheet(hold="tape"),
    )
    (setup,) = place(job, REGISTRY)
    nest = Nest.of(setup)
    assert nest.parent.tolist() == [-1, 0, 0, 1, 3]
    assert nest.open_.tolist() == [False, True, False, False, True]
    assert nest.solid.tolist() == [0, 3]
    assert nest.around(4) == [3, 1, 0]
    assert nest.label(4) == "part 'lid' copy 1, circle of 10.000 mm at (55.000, 55.000)"
    assert nest.islands([0, 1, 2]) == {0: [1, 2]}


def test_areas_of_copies_are_moved(shop: Any) -> None:
    part = shop.part("plate", shop.box(0, 0, 30, 20), shop.hole(10, 10, 6), at=((20.0, 20.0), (70.5, 20.25)))
    job = shop.job(shop.profile(select=shop.select({}), bridges=None), parts=(part,), sheet=shop.sheet(hold="tape"))
    nest = Nest.of(place(job, REGISTRY)[0])
    assert shapely.area(nest.areas) == pytest.approx([600, 9 * math.pi] * 2, abs=0.01)
    assert nest.areas[3].centroid.coords[0] == pytest.approx((80.5, 30.25))


@pytest.mark.parametrize("start", [0.0, 1.0, 7.5, 15.0, 20.0, 31.0])
def test_a_circle_started_anywhere_is_two_arcs(start: float) -> None:
    circle = Curve.circle(3, 4, 5)
    for s in (start, 4.0, 11.0):
        circle, (marks,) = turned(circle, s, np.array([7, 7]))
        assert len(circle) == 2
        assert marks.tolist() == [7, 7]
    assert circle.length == pytest.approx(10 * math.pi)
    assert np.hypot(*(circle.nodes[:, :2] - [3, 4]).T) == pytest.approx([5, 5, 5])
    assert circle.turns.sum() == pytest.approx(2 * math.pi)


def test_a_square_started_on_a_side_and_then_on_another() -> None:
    square = Curve.line([[0, 0], [10, 0], [10, 10], [0, 10], [0, 0]])
    once, _ = turned(square, 5.0)
    assert once.nodes[:, :2].tolist() == [[5, 0], [10, 0], [10, 10], [0, 10], [0, 0], [5, 0]]
    again, _ = turned(once, 10.0)
    assert again.nodes[:, :2].tolist() == [[10, 5], [10, 10], [0, 10], [0, 0], [10, 0], [10, 5]]


def test_marks_stay_with_their_segments() -> None:
    square = Curve.line([[0, 0], [10, 0], [10, 10], [0, 10], [0, 0]])
    new, (marks,) = turned(square, 15.0, np.array([1, 2, 3, 4]))
    assert new.nodes[:, :2].tolist() == [[10, 5], [10, 10], [0, 10], [0, 0], [10, 0], [10, 5]]
    assert marks.tolist() == [2, 3, 4, 1, 2]


def test_out_and_back_is_no_straight_line() -> None:
    there = Curve.line([[0, 0], [5, 0], [8, 0], [5, 0], [5, 5]])
    assert tidied(there)[0].nodes[:, :2].tolist() == [[0, 0], [8, 0], [5, 0], [5, 5]]
    assert len(tidied(there, np.array([1, 2, 2, 2]))[0]) == 4


LEVEL = [[0, 0, -2.4], [20, 0, -2.4]]
STRIP = (10.0, -1.0, 0.0, 1.0, 2.0, 0.4, -1.4, math.inf)


@pytest.mark.parametrize(
    ("way", "strip", "radius", "nodes"),
    [
        # 0.4 + 1 to either side of 10
        (LEVEL, STRIP, 1.0, [[0, 0, -2.4], [8.6, 0, -2.4], [8.6, 0, -1.4], [11.4, 0, -1.4], [11.4, 0, -2.4], [20, 0, -2.4]]),
        # 45 degrees over 1 mm
        (LEVEL, (*STRIP[:7], 1.0), 1.0, [[0, 0, -2.4], [7.6, 0, -2.4], [8.6, 0, -1.4], [11.4, 0, -1.4], [12.4, 0, -2.4], [20, 0, -2.4]]),
        # higher than the bridge: nothing happens
        ([[0, 0, -1.0], [20, 0, -1.0]], STRIP, 1.0, [[0, 0, -1.0], [20, 0, -1.0]]),
        # beside the strip's end, 1.5 mm off: out of reach; 0.8 mm off: a chord of 0.6 to either side, and 0.4
        ([[0, 2.5, -2], [20, 2.5, -2]], STRIP, 1.0, [[0, 2.5, -2], [20, 2.5, -2]]),
        ([[0, 1.8, -2], [20, 1.8, -2]], STRIP, 1.0, [[0, 1.8, -2], [9, 1.8, -2], [9, 1.8, -1.4], [11, 1.8, -1.4], [11, 1.8, -2], [20, 1.8, -2]]),
        # a plunge on a bridge stops at its top, and so does what follows until the bridge ends
        ([[10, 0, 0], [10, 0, -2.4], [20, 0, -2.4]], STRIP, 1.0, [[10, 0, 0], [10, 0, -1.4], [11.4, 0, -1.4], [11.4, 0, -2.4], [20, 0, -2.4]]),
        # a ramp meets the top of the bridge half way along it
        ([[0, 0, -0.4], [20, 0, -2.4]], STRIP, 1.0, [[0, 0, -0.4], [8.6, 0, -1.26], [11.4, 0, -1.4], [11.4, 0, -1.54], [20, 0, -2.4]]),
    ],
)  # fmt: skip
def test_lifts_by_hand(way: Any, strip: Any, radius: float, nodes: Any) -> None:
    curve, old = lifted(Curve.line(way), strips(strip), radius)
    assert curve.nodes == pytest.approx(np.array(nodes, float), abs=1e-6)
    assert len(old) == len(curve)
    assert old.max() < len(way) - 1


def test_across_by_hand() -> None:
    """Kerf of 2 mm along y = 0, another along y = 2.5 that leaves 0.5 mm, a third along y = 7 that leaves 2.5 mm."""
    rows = [Kerf(Curve.line([[-50, y], [50, y]]), np.zeros((1, 2)), 1.0, -2.4) for y in (0.0, 2.5, 7.0)]
    stock = shapely.box(-100, -100, 100, 100)

    def far(width: float, z: float = -1.4, sheet: Any = stock, kerfs: Any = rows) -> float:
        at, up = np.array([[0.0, 0.0]]), np.array([[0.0, 1.0]])
        return float(across(at, up, np.array([z]), np.array([width]), 1.0, kerfs, sheet)[0])

    assert far(0.4) == pytest.approx(1.0, abs=0.003)
    assert far(0.8) == pytest.approx(3.5, abs=0.003)
    assert far(2.4) == pytest.approx(3.5, abs=0.003)
    assert far(3.0) == pytest.approx(8.0, abs=0.003)
    assert math.isnan(far(0.8, sheet=shapely.box(-100, -100, 100, 4.0)))
    assert far(0.4, sheet=shapely.box(-100, -100, 100, 4.0)) == pytest.approx(1.0, abs=0.003)
    shallow = [rows[0], attrs.evolve(rows[1], bottom=-1.4), rows[2]]
    assert far(0.8, kerfs=shallow) == pytest.approx(1.0, abs=0.003)
    wide = [Kerf(Curve.line([[-50, y], [50, y]]), np.zeros((1, 2)), 1.0, -2.4) for y in np.arange(0, 16, 1.5)]
    assert math.isnan(far(0.8, kerfs=wide))


@pytest.mark.parametrize(
    ("second", "kept"),
    [
        ((0.0, 3.0, 0.0, -1.0, 3.0, 0.4, -1.4, math.inf), 1),
        ((2.5, 3.0, 0.0, -1.0, 3.0, 0.4, -1.4, math.inf), 1),  # 1.7 mm between: no cutter of 2 mm passes
        ((2.9, 3.0, 0.0, -1.0, 3.0, 0.4, -1.4, math.inf), 2),
        ((0.0, 3.0, 0.0, -1.0, 3.0, 0.6, -1.4, math.inf), 2),  # another width
        ((0.0, 6.0, 0.0, -1.0, 3.0, 0.4, -1.4, math.inf), 2),  # the first does not go across to its wall
        ((0.5, 0.0, 0.0, 1.0, 3.0, 0.4, -1.4, math.inf), 2),  # from the same wall
    ],
)
def test_neighbours_share(second: tuple[float, ...], kept: int) -> None:
    held = strips((0.0, 0.0, 0.0, 1.0, 3.0, 0.4, -1.4, math.inf), second)
    assert len(shared(held, np.array([1.0, 1.0]))) == kept


def test_a_bridge_across_a_bay_holds_nothing(shop: Any) -> None:
    """A comb whose gaps of 3 mm are cut from both sides: bridges stand on the outside only, two at least."""
    teeth = [
        [0, 0],
        [40, 0],
        [40, 30],
        [33, 30],
        [33, 6],
        [30, 6],
        [30, 30],
        [23, 30],
        [23, 6],
        [20, 6],
        [20, 30],
        [0, 30],
        [0, 0],
    ]
    part = shop.part("comb", Loop(Curve.line(teeth)), at=((40.0, 40.0),))
    bridges = REGISTRY.strategies["bridges", "spacing"](width=0.8, thickness=0.5, spacing=12.0)
    (program,) = plan(shop.job(shop.profile(bridges=bridges), parts=(part,)), REGISTRY)
    (motion,) = [s for s in program.steps if isinstance(s, Motion)]
    c = motion.curve
    top = c.nodes[:-1][(c.nodes[:-1, 2] == -1.5) & (c.nodes[1:, 2] == -1.5) & (c.lengths > 0.1)]
    in_gap = (top[:, 0] > 41) & (top[:, 0] < 79) & (top[:, 1] > 41) & (top[:, 1] < 69)
    assert len(top) >= 4
    assert not in_gap.any()


@pytest.mark.parametrize(("width", "bridges"), [(3.0, 0), (4.0, 0), (9.0, 2)])
def test_a_slug_cut_to_dust_needs_no_bridge(shop: Any, width: float, bridges: int) -> None:
    """A slot up to twice the cutter wide leaves nothing inside; in a wider one two bridges or more hold the slug."""
    part = shop.part("plate", shop.box(0, 0, 60, 40), shop.box(10, 15, 40, width), at=((40.0, 40.0),))
    strategy = REGISTRY.strategies["bridges", "spacing"](width=0.8, thickness=0.5, spacing=20.0)
    (program,) = plan(shop.job(shop.profile(select=shop.inner, bridges=strategy), parts=(part,), ignore=shop.outer), REGISTRY)  # fmt: skip
    (motion,) = [s for s in program.steps if isinstance(s, Motion)]
    c = motion.curve
    raised = (c.nodes[:-1, 2] == -1.5) & (c.nodes[1:, 2] == -1.5)
    assert (raised.sum() >= bridges) if bridges else not raised.any()


def test_a_bay_with_a_narrow_mouth(shop: Any) -> None:
    """24 x 13 mm behind a mouth of 1.5 mm: cut by a way of its own, before the outside, and its slug held by bridges."""
    hook = [[0, 0], [30, 0], [30, 20], [15.75, 20], [15.75, 18], [27, 18], [27, 5], [3, 5], [3, 18], [14.25, 18], [14.25, 20], [0, 20], [0, 0]]  # fmt: skip
    part = shop.part("hook", Loop(Curve.line(hook)), at=((40.0, 40.0),))
    strategy = REGISTRY.strategies["bridges", "spacing"](width=0.8, thickness=0.5, spacing=20.0)
    (program,) = plan(shop.job(shop.profile(bridges=strategy), parts=(part,)), REGISTRY)
    (motion,) = [s for s in program.steps if isinstance(s, Motion)]
    c = motion.curve
    low = c.nodes[1:][(c.nodes[:-1, 2] == -2.4) & (c.nodes[1:, 2] == -2.4)]
    inside = (low[:, 0] > 43.9) & (low[:, 0] < 66.1) & (low[:, 1] > 45.9) & (low[:, 1] < 58)
    assert inside[0]
    assert not inside[-1]
    assert (np.diff(inside.astype(int)) <= 0).all()
    held = c.nodes[1:][(c.nodes[:-1, 2] == -1.5) & (c.nodes[1:, 2] == -1.5)]
    assert ((held[:, 0] > 43) & (held[:, 0] < 67) & (held[:, 1] > 45) & (held[:, 1] < 58)).sum() >= 2


def test_few_lines(shop: Any) -> None:
    """60 holes in one straight-down pass: across, down, down to the top, down, two arcs, up."""
    holes = [shop.hole(9 + 18 * (i % 10), 10 + 20 * (i // 10), 3.2 + 0.4 * (i % 3)) for i in range(60)]
    part = shop.part("plate", shop.box(0, 0, 180, 120), *holes)
    entry, passes = REGISTRY.strategies["entry", "toolaxis"](), REGISTRY.strategies["passes", "single"]()
    job = shop.job(shop.profile(select=shop.inner, bridges=None, entry=entry, passes=passes), parts=(part,), ignore=shop.outer, sheet=shop.sheet(hold="tape"))  # fmt: skip
    (program,) = plan(job, REGISTRY)
    (motion,) = [s for s in program.steps if isinstance(s, Motion)]
    assert len(motion.curve) <= 60 * (5 + 2)
    assert (motion.curve.turns != 0).sum() == 120
