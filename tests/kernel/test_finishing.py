"""Allowances and skins as they are placed: what they mean for selection, order and hold. Refusals by hand."""

from __future__ import annotations

from typing import Any

import attrs
import pytest

from kerfwright.operation import Allowance

SIDE, BOTTOM, BOTH = Allowance(side=0.2), Allowance(bottom=0.3), Allowance(side=0.2, bottom=0.3)
SMALL = "the inner outline of 1.6 x 1.6 mm at (29.2, 24.2) of part 'plate' copy 1"
BIG = "the outer outline of 60 x 40 mm at (20, 20) of part 'plate' copy 1"


def test_what_goes_through_what_pierces_and_what_finishes(shop: Any) -> None:
    rows = [
        # depth, allowance: through, pierces, finishes
        (None, Allowance(), True, True, True),
        (None, SIDE, False, True, False),
        (None, BOTTOM, False, False, False),
        (None, BOTH, False, False, False),
        (1.0, Allowance(), False, False, True),
        (1.0, SIDE, False, False, False),
    ]
    for depth, allowance, *told in rows:
        o = shop.profile(depth=depth, allowance=allowance)
        assert [o.through, o.pierces, o.finishes] == told


@pytest.mark.parametrize(
    ("depth", "allowance", "floor"),
    [(None, SIDE, -2.4), (None, BOTH, -1.7), (0.8, SIDE, -0.8), (0.8, Allowance(bottom=0.1), -0.7)],
)
def test_the_floor_of_an_operation(shop: Any, depth: float | None, allowance: Allowance, floor: float) -> None:
    setup = shop.place(shop.job(shop.drilling(), shop.profile(allowance=allowance), shop.profile()))
    o = shop.profile(depth=depth, allowance=allowance)
    assert setup.heights.floor_of(o) == pytest.approx(floor)


def test_inner_skips_only_what_is_finished(shop: Any) -> None:
    """Both outlines get the rough pass; `inner` finds the hole again until it is finished."""
    hole = shop.select({"circles": (1.6, 1.6)})
    fine = attrs.evolve(shop.mill, name="fine", number=3, diameter=0.8)
    cutters = {"mill": shop.mill, "drill": shop.drill, "fine": fine}
    rough = shop.profile(cutter=fine, select=hole, allowance=SIDE)
    setup = shop.place(shop.job(rough, shop.profile(cutter=fine, select=shop.inner), shop.profile(), cutters=cutters))
    assert [len(w.loops) for w in setup.works] == [1, 1, 1]
    pocket = shop.pocket(cutter=fine, select=hole, allowance=BOTTOM, depth=1.0)
    setup = shop.place(shop.job(pocket, shop.profile(cutter=fine, select=shop.inner), shop.profile(), cutters=cutters))
    assert [len(w.loops) for w in setup.works] == [1, 1, 1]
    finished = shop.job(shop.drilling(), shop.profile(cutter=fine, select=shop.inner), shop.profile(), cutters=cutters)
    assert shop.faults(finished) == [
        "operations[1].profile.select: 'inner' matches nothing; the drawings have 1 inner outline, all finished or pocketed before"
    ]


ORDER = {
    "rough after finished": (
        lambda s: s.job(s.drilling(), s.profile(), s.profile(allowance=BOTH)),
        [f"operations[2].profile: leaves an allowance on {BIG}, which operations[1].profile has finished already"],
    ),
    "inside what a rough cut has gone through": (
        lambda s: s.job(s.profile(allowance=SIDE), s.drilling(), s.profile()),
        [
            f"operations[1].drill: works on {SMALL}, which lies inside {BIG} that operations[0].profile has cut through "
            "before; allowed: an allowance at the bottom too in operations[0].profile, or operations[1].drill first, or both in one operation, which cuts from the inside out"
        ],
    ),
    "a skin inside what has none": (
        lambda s: s.job(s.profile(select=s.inner, skin=0.2, cutter=s.tiny), s.profile(), cutters=s.three),
        [
            f"operations[0].profile: works on {SMALL}, which lies inside {BIG} that operations[1].profile has cut through "
            "before; allowed: a skin in operations[1].profile too, or none in operations[0].profile: a skin is cut after all "
            "that has none"
        ],
    ),
    "skins from the outside in": (
        lambda s: s.job(s.profile(skin=0.2), s.profile(select=s.inner, skin=0.2, cutter=s.tiny), cutters=s.three),
        [
            f"operations[1].profile: works on {SMALL}, which lies inside {BIG} that operations[0].profile has cut through "
            "before; allowed: operations[1].profile first, or both in one operation, which cuts from the inside out"
        ],
    ),
}  # fmt: skip


@pytest.fixture
def bench(shop: Any) -> Any:
    shop.tiny = attrs.evolve(shop.mill, name="tiny", number=3, diameter=0.8)
    shop.three = {"mill": shop.mill, "drill": shop.drill, "tiny": shop.tiny}
    return shop


@pytest.mark.parametrize("case", ORDER)
def test_orders_refused(bench: Any, case: str) -> None:
    job, expected = ORDER[case]
    assert bench.faults(job(bench)) == expected


def test_orders_that_keep_their_meaning(bench: Any) -> None:
    """Rough from above before what lies inside; a skin around what is cut through later; rough, then finished."""
    for operations in (
        (bench.profile(allowance=BOTH), bench.drilling(), bench.profile()),
        (bench.profile(skin=0.2), bench.drilling()),
        (bench.drilling(), bench.profile(allowance=SIDE), bench.profile()),
        (bench.profile(select=bench.inner, skin=0.2, cutter=bench.tiny), bench.profile(skin=0.1)),
    ):
        bench.place(bench.job(*operations, cutters=bench.three))


def test_a_skin_makes_two_works_of_one_operation(bench: Any) -> None:
    setup = bench.place(bench.job(bench.profile(skin=0.3, repeat=2), bench.drilling()))
    assert [(w.path, w.index, w.last) for w in setup.works] == [
        ("operations[0].profile", 0, False),
        ("operations[1].drill", 1, False),
        ("operations[0].profile", 0, True),
    ]
    above, _, below = setup.works
    assert above.bridges == below.bridges != {}
    assert [setup.heights.floor_of(w.operation) for w in (above, below)] == [pytest.approx(-1.7), -2.4]
    assert [w.operation.start for w in (above, below)] == [0.0, pytest.approx(1.7)]
    assert [w.operation.repeat for w in (above, below)] == [2, 0]  # while the skin still holds the piece
    assert [w.operation.skin for w in (above, below)] == [None, None]


def test_a_rough_cut_right_through_needs_bridges_too(shop: Any) -> None:
    free = shop.profile(allowance=SIDE, bridges=None)
    job = shop.job(shop.drilling(), free, shop.profile(bridges=None), sheet=shop.sheet(hold="screws"))
    text = "the piece of 60 x 40 mm in part 'plate' would come free under hold 'screws'; allowed: bridges"
    assert shop.faults(job) == [f"operations[{k}].profile.bridges: {text}" for k in (1, 2)]


def test_a_rough_pocket_leaves_no_slug_for_the_cut_that_finishes(shop: Any) -> None:
    part = shop.part("frame", shop.box(0, 0, 60, 40), shop.box(10, 10, 30, 20))
    rough = shop.pocket(depth=None, allowance=SIDE)
    job = shop.job(rough, shop.profile(select=shop.inner, bridges=None), shop.profile(), parts=(part,))
    setup = shop.place(attrs.evolve(job, sheet=shop.sheet(hold="screws")))
    assert len(setup.works) == 3
    alone = shop.job(shop.profile(select=shop.inner, bridges=None), shop.profile(), parts=(part,))
    assert shop.faults(attrs.evolve(alone, sheet=shop.sheet(hold="screws"))) == [
        "operations[0].profile.bridges: the slug of 30 x 20 mm in part 'frame' would come free under hold 'screws'; "
        "allowed: bridges, or a slug that is cut to dust"
    ]


def test_where_a_cut_with_an_allowance_begins_and_ends(shop: Any) -> None:
    """`from` counts what an earlier cut has left: above its bottom, and beside its wall."""
    part = shop.part("frame", shop.box(0, 0, 60, 40), shop.box(10, 10, 30, 20))
    flat = shop.pocket(depth=1.0, allowance=Allowance(bottom=0.2))
    after = shop.pocket(depth=1.0, start=0.8)
    shop.place(shop.job(flat, after, shop.profile(), parts=(part,)))
    told = "material stands higher: no operation before it goes that deep there"
    deeper = shop.faults(shop.job(flat, attrs.evolve(after, start=0.9), shop.profile(), parts=(part,)))
    beside = attrs.evolve(flat, allowance=Allowance(side=0.1, bottom=0.2))
    both = shop.faults(shop.job(beside, after, shop.profile(), parts=(part,)))
    assert [f.startswith("operations[1].pocket.from: found 0.") and f.endswith(told) for f in (*deeper, *both)] == [
        True
    ] * 2


WARNED = {
    "side": ((Allowance(side=0.2), None), ["leaves 0.2 mm at the side that no later operation finishes: part 'plate': outer"]),
    "both": (
        (BOTH, None),
        [
            "leaves 0.2 mm at the side that no later operation finishes: part 'plate': outer",
            "leaves 0.3 mm at the bottom that no later operation finishes: part 'plate': outer",
        ],
    ),
    "less is left later": (
        (BOTH, Allowance(side=0.1)),
        [
            "operations[1].profile leaves 0.2 mm at the side that no later operation finishes: part 'plate': outer",
            "operations[2].profile leaves 0.1 mm at the side that no later operation finishes: part 'plate': outer",
        ],
    ),
    "finished": ((BOTH, Allowance()), []),
}  # fmt: skip


@pytest.mark.parametrize("case", WARNED)
def test_what_nothing_finishes_is_told(shop: Any, case: str) -> None:
    (first, second), expected = WARNED[case]
    more = [] if second is None else [shop.profile(allowance=second)]
    told = shop.place(shop.job(shop.drilling(), shop.profile(allowance=first), *more)).warnings
    told = [w for w in told if "finishes" in w]
    assert len(told) == len(expected)
    assert all(e in w for e, w in zip(expected, told))


def test_the_kerf_of_a_rough_cut_reaches_farther(shop: Any) -> None:
    two = shop.plate(at=((20.0, 20.0), (82.1, 20.0)))
    shop.place(shop.job(shop.drilling(), shop.profile(), parts=(two,)))
    faults = shop.faults(shop.job(shop.drilling(), shop.profile(allowance=SIDE), shop.profile(), parts=(two,)))
    assert len(faults) == 1
    assert "2.1 mm from an outline with a kerf of 2.2 mm" in faults[0]


def test_a_narrower_cut_does_not_finish_the_bottom_of_a_groove(bench: Any) -> None:
    part = bench.part("frame", bench.box(0, 0, 60, 40), bench.box(10, 10, 30, 20))
    groove = bench.profile(select=bench.inner, depth=1.0, allowance=Allowance(bottom=0.1), bridges=None)
    rest = (bench.profile(select=bench.inner), bench.profile())

    def told(cutter: Any) -> list[str]:
        after = bench.profile(select=bench.inner, depth=1.0, cutter=cutter, bridges=None)
        job = bench.job(groove, after, *rest[1:], parts=(part,), cutters=bench.three)
        return [w for w in bench.place(job).warnings if "finishes" in w]

    assert told(bench.mill) == []
    assert [w.split(":")[0] for w in told(bench.tiny)] == [
        "operations[0].profile leaves 0.1 mm at the bottom that no later operation finishes"
    ]
