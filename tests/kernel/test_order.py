"""Order between operations, bridges bound to outlines, and what would come free."""

from __future__ import annotations

from typing import Any

import attrs
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.drawing import Loop
from kerfwright.placing.order import inside
from kerfwright.sheet import Keepout


def test_inside_of_nested_and_separate_outlines() -> None:
    """Five rings about one center, and one circle apart: each ring lies in all wider ones."""
    loops = [Loop(Curve.circle(0, 0, r)) for r in (5, 1, 3, 4, 2)] + [Loop(Curve.circle(20, 0, 3))]
    assert inside(loops).tolist() == [[1, 0], [1, 2], [1, 3], [1, 4], [2, 0], [2, 3], [3, 0], [4, 0], [4, 2], [4, 3]]
    assert inside([]).shape == (0, 2)


def frame(s: Any) -> Any:
    return s.part("frame", s.box(0, 0, 100, 80), s.box(10, 10, 80, 60))


def lid(s: Any) -> Any:
    return s.part("lid", s.box(0, 0, 30, 20), at=((50.0, 50.0),))


def window(s: Any) -> Any:
    """A plate with a window of 30 x 20."""
    return s.part("plate", s.box(0, 0, 60, 40), s.box(10, 10, 30, 20))


ORDER = {
    "outline before its hole": (
        lambda s: s.job(s.profile(), s.drilling()),
        ["operations[1].drill: works on the inner outline of 1.6 x 1.6 mm at (29.2, 24.2) of part 'plate' copy 1, which lies "
         "inside the outer outline of 60 x 40 mm at (20, 20) of part 'plate' copy 1 that operations[0].profile has cut through "
         "before; allowed: operations[1].drill first, or both in one operation, which cuts from the inside out"],
    ),
    "window before the lid that lies in it": (
        lambda s: s.job(s.profile(select=s.inner), s.profile(), parts=(frame(s), lid(s))),
        ["operations[1].profile: works on the outer outline of 30 x 20 mm at (50, 50) of part 'lid' copy 1, which lies inside "
         "the inner outline of 80 x 60 mm at (30, 30) of part 'frame' copy 1 that operations[0].profile has cut through "
         "before; allowed: operations[1].profile first, or both in one operation, which cuts from the inside out"],
    ),
    "cut through twice": (
        lambda s: s.job(s.drilling(), s.profile(), s.profile(select=s.select({"nesting": "outer"}))),
        ["operations[2].profile: cuts through the outer outline of 60 x 40 mm at (20, 20) of part 'plate' copy 1, which "
         "operations[1].profile has cut through already"],
    ),
    "a hole between two cuts of one outline": (  # told of the first cut, not the second
        lambda s: s.job(s.profile(), s.drilling(), s.profile(select=s.select({"nesting": "outer"}))),
        ["operations[2].profile: cuts through the outer outline of 60 x 40 mm at (20, 20) of part 'plate' copy 1, which "
         "operations[0].profile has cut through already",
         "operations[1].drill: works on the inner outline of 1.6 x 1.6 mm at (29.2, 24.2) of part 'plate' copy 1, which lies "
         "inside the outer outline of 60 x 40 mm at (20, 20) of part 'plate' copy 1 that operations[0].profile has cut through "
         "before; allowed: operations[1].drill first, or both in one operation, which cuts from the inside out"],
    ),
    "a recess in what is cut out": (
        lambda s: s.job(s.profile(), s.pocket(), parts=(s.part("plate", s.box(0, 0, 60, 40), s.box(10, 10, 30, 20)),)),
        ["operations[1].pocket: works on the inner outline of 30 x 20 mm at (30, 30) of part 'plate' copy 1, which lies inside "
         "the outer outline of 60 x 40 mm at (20, 20) of part 'plate' copy 1 that operations[0].profile has cut through "
         "before; allowed: operations[1].pocket first, or both in one operation, which cuts from the inside out"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", ORDER)
def test_order_refused(shop: Any, case: str) -> None:
    job, expected = ORDER[case]
    assert shop.faults(job(shop)) == expected


def test_many_copies_give_one_fault(shop: Any) -> None:
    plate = shop.plate(at=tuple((10.0 + 70 * k, 20.0) for k in range(4)))
    assert len(shop.faults(shop.job(shop.profile(), shop.drilling(), parts=(plate,)))) == 1


ALLOWED = {
    "all in one operation": lambda s: s.job(s.profile(select=s.select({})), parts=(window(s),)),
    "groove the outline, then its window, then through": lambda s: s.job(
        s.profile(depth=1.0), s.profile(select=s.inner), s.profile(), parts=(window(s),)
    ),
    "a hole at the bottom of a recess": lambda s: s.job(
        s.pocket(select=s.select({"layer": "recess"})),
        s.drilling(select=s.select({"circles": (1.6, 1.6)}), start=0.8),
        s.profile(select=s.select({"layer": "cut"})),  # the hole, at depth 2, is an `outer` too
        parts=(s.part("plate", s.box(0, 0, 60, 40, "cut"), s.box(10, 10, 30, 20, "recess"), s.hole(25, 20, 1.6)),),
    ),
    "the lid before the window it lies in": lambda s: s.job(
        s.profile(select=s.select({"part": "lid"})),
        s.profile(select=s.inner),
        s.profile(select=s.select({"part": "frame", "nesting": "outer"})),
        parts=(frame(s), lid(s)),
    ),
    "deeper where a recess was": lambda s: s.job(
        s.pocket(), s.profile(select=s.select({"layer": "recess"}), start=0.8), s.profile(),
        parts=(s.part("plate", s.box(0, 0, 60, 40), s.box(10, 10, 30, 20, "recess")),),
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", ALLOWED)
def test_order_allowed(shop: Any, case: str) -> None:
    job = ALLOWED[case](shop)
    assert len(shop.place(job).works) == len(job.operations)


def test_material_that_stands_above_from(shop: Any) -> None:
    """A recess of 0.5 mm, and a cut that counts on 0.8."""
    part = shop.part("plate", shop.box(0, 0, 60, 40), shop.box(10, 10, 30, 20, "recess"))
    again = shop.profile(select=shop.select({"layer": "recess"}), start=0.8)
    assert shop.faults(shop.job(shop.pocket(depth=0.5), again, shop.profile(), parts=(part,))) == [
        "operations[1].profile.from: found 0.8 mm, but at (59, 40) material stands higher: no operation before it goes that "
        "deep there"
    ]


def test_bridges_bind_every_operation_on_the_outline(shop: Any) -> None:
    """The groove declares nothing and inherits; the window's bridges do not spread to the outline."""
    wide = attrs.evolve(shop.bridges, width=2.0)
    job = shop.job(
        shop.profile(depth=1.0, bridges=None),
        shop.profile(select=shop.inner, bridges=wide),
        shop.profile(),
        parts=(window(shop),),
    )
    setup = shop.place(job)
    assert [w.bridges for w in setup.works] == [{(0, 0): shop.bridges}, {(0, 1): wide}, {(0, 0): shop.bridges}]
    assert setup.works[0].operation.bridges is None


def test_a_pocket_declares_bridges_on_what_it_surrounds(shop: Any) -> None:
    ring = shop.part(
        "ring", shop.box(0, 0, 60, 40, "cut"), shop.box(10, 10, 40, 20, "clear"), shop.box(20, 15, 10, 10, "clear")
    )
    clear = shop.pocket(select=shop.select({"layer": "clear"}), depth=None, bridges=shop.bridges)
    setup = shop.place(shop.job(clear, shop.profile(select=shop.select({"layer": "cut"})), parts=(ring,)))
    assert setup.works[0].bridges == {(0, 2): shop.bridges}


SCREW = Keepout(area=shapely.Point(45, 40).buffer(3), height=4.0)

HOLD = {
    "bare piece": (
        lambda s: s.job(s.drilling(), s.profile(bridges=None)),
        ["operations[1].profile.bridges: the piece of 60 x 40 mm in part 'plate' would come free under hold 'screws'; allowed: "
         "bridges"],
    ),
    "frame": (
        lambda s: s.job(s.drilling(), s.profile(bridges=None), sheet=s.sheet(hold="frame")),
        ["operations[1].profile.bridges: the piece of 60 x 40 mm in part 'plate' would come free under hold 'frame'; allowed: "
         "bridges"],
    ),
    "bare slug": (
        lambda s: s.job(s.profile(select=s.inner, bridges=None), s.profile(), parts=(window(s),)),
        ["operations[0].profile.bridges: the slug of 30 x 20 mm in part 'plate' would come free under hold 'screws'; allowed: "
         "bridges, or a slug that is cut to dust"],
    ),
    "slug just wider than two cutters": (
        lambda s: s.job(s.profile(select=s.inner, bridges=None), s.profile(), parts=(s.part("plate", s.box(0, 0, 60, 40), s.hole(20, 20, 4.05)),)),
        ["operations[0].profile.bridges: the slug of 4.05 x 4.05 mm in part 'plate' would come free under hold 'screws'; "
         "allowed: bridges, or a slug that is cut to dust"],
    ),
    "on the line": (
        lambda s: s.job(s.profile(waste="line", bridges=None, select=s.select({})), parts=(s.part("disc", s.hole(0, 0, 20)),)),
        ["operations[0].profile.bridges: the piece of 20 x 20 mm in part 'disc' would come free under hold 'screws'; allowed: "
         "bridges"],
    ),
    "island of a pocket": (
        lambda s: s.job(s.pocket(select=s.select({"layer": "clear"}), depth=None), s.profile(select=s.select({"layer": "cut"})),
                        parts=(s.part("ring", s.box(0, 0, 60, 40, "cut"), s.box(10, 10, 40, 20, "clear"), s.box(20, 15, 10, 10, "clear")),)),
        ["operations[0].pocket.bridges: the piece of 10 x 10 mm in part 'ring' would come free under hold 'screws'; allowed: "
         "bridges"],
    ),
    "a screw in the window does not hold the piece": (
        lambda s: s.job(s.profile(select=s.inner), s.profile(bridges=None), parts=(window(s),), sheet=s.sheet(keepout=(SCREW,))),
        ["operations[1].profile.bridges: the piece of 60 x 40 mm in part 'plate' would come free under hold 'screws'; allowed: "
         "bridges"],
    ),
    "a screw in what lies in the window does not hold the slug around it": (
        lambda s: s.job(
            s.profile(select=s.select({"layer": "b"})), s.profile(select=s.select({"layer": "c"}), bridges=None), s.profile(select=s.select({"layer": "d"})),
            sheet=s.sheet(keepout=(SCREW,)), ignore=s.select({"layer": "a"}),
            parts=(s.part("nest", s.box(0, 0, 60, 40, "d"), s.box(5, 5, 50, 30, "c"), s.box(12, 12, 36, 16, "b"), s.box(15, 14, 26, 12, "a")),),
        ),
        ["operations[1].profile.bridges: the slug of 50 x 30 mm in part 'nest' would come free under hold 'screws'; allowed: "
         "bridges, or a slug that is cut to dust"],
    ),
    "two declarations": (
        lambda s: s.job(s.drilling(), s.profile(depth=1.0, bridges=attrs.evolve(s.bridges, width=2.0)), s.profile()),
        ["operations[2].profile.bridges: an outline of part 'plate' has bridges of operations[1].profile already, and they "
         "differ; allowed: one declaration an outline"],
    ),
    "bridges in a blind pocket": (
        lambda s: s.job(
            s.pocket(select=s.select({"layer": "recess"}), bridges=s.bridges), s.profile(),
            parts=(s.part("plate", s.box(0, 0, 60, 40), s.box(5, 5, 50, 30, "recess"), s.box(20, 12, 16, 16, "recess")),),
            ignore=s.select({"layer": "recess"}),
        ),
        ["operations[0].pocket.bridges: found bridges on an outline of 16 x 16 mm in part 'plate' that no operation cuts "
         "through: nothing comes free there that they could hold; allowed: `depth: through`, or no bridges"],
    ),
    "a pocket with nothing to hold": (
        lambda s: s.job(s.pocket(bridges=s.bridges), s.profile(), parts=(window(s),)),
        ["operations[0].pocket.bridges: the pocket surrounds nothing that bridges could hold"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", HOLD)
def test_hold_refused(shop: Any, case: str) -> None:
    job, expected = HOLD[case]
    assert shop.faults(job(shop)) == expected


HELD = {
    "tape": lambda s: s.job(s.drilling(), s.profile(bridges=None), sheet=s.sheet(hold="tape")),
    "vacuum": lambda s: s.job(s.drilling(), s.profile(bridges=None), sheet=s.sheet(hold="vacuum")),
    "dust": lambda s: s.job(  # 4 mm wide: the cutter takes 2 mm from both sides
        s.profile(select=s.inner, bridges=None), s.profile(), parts=(s.part("plate", s.box(0, 0, 60, 40), s.hole(20, 20, 4.0)),)
    ),
    "a screw in the slug": lambda s: s.job(
        s.profile(select=s.inner, bridges=None), s.profile(), parts=(window(s),),
        sheet=s.sheet(keepout=(SCREW,)),
    ),
    "a groove frees nothing": lambda s: s.job(s.drilling(), s.profile(bridges=None, depth=1.5)),
}  # fmt: skip


@pytest.mark.parametrize("case", HELD)
def test_held(shop: Any, case: str) -> None:
    assert shop.place(HELD[case](shop)).works
