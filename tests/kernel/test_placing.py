"""From job to sheet: frames and heights by hand, and every refusal by its exact words."""

from __future__ import annotations

import math
from typing import Any

import attrs
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.cutter import Holder
from kerfwright.drawing import Drawing, Loop
from kerfwright.errors import NoRoom
from kerfwright.job import Origin, Part, Planes
from kerfwright.sheet import Grain, Keepout, Thickness, Zero
from kerfwright.strategy import Layout

# A plate of 60 x 40 with a hole at (10, 5), turned by 90: (x, y) goes to (-y, x), so its extent is (-40, 0) to (0, 60) and
# the hole is at (-5, 10). Lower left corner to (20, 30): shifted by (60, 30), extent (20, 30) to (60, 90), hole at (55, 40).
ZERO_X = {"left": 0.0, "center": 150.0, "right": 300.0, 12.5: 12.5, -4.0: -4.0}
ZERO_Y = {"front": 0.0, "center": 100.0, "back": 200.0, 5.0: 5.0}


@pytest.mark.parametrize("z", ["sheet_top", "board_top"])
@pytest.mark.parametrize("y", ZERO_Y)
@pytest.mark.parametrize("x", ZERO_X)
def test_every_zero(shop: Any, x: Any, y: Any, z: str) -> None:
    job = shop.job(parts=(shop.plate(at=((20.0, 30.0),), turn=90.0),), sheet=shop.sheet(zero=Zero(x=x, y=y, z=z)))
    setup = shop.place(job)
    zx, zy = ZERO_X[x], ZERO_Y[y]
    outer, hole = setup.pieces[0].loops
    assert outer.curve.bounds == pytest.approx((20 - zx, 30 - zy, 60 - zx, 90 - zy), abs=1e-9)
    assert (hole.circle.x, hole.circle.y) == pytest.approx((55 - zx, 40 - zy), abs=1e-6)
    assert setup.stock.bounds == pytest.approx((-zx, -zy, 300 - zx, 200 - zy), abs=1e-9)
    assert setup.number == 1
    assert setup.warnings == ()


@pytest.mark.parametrize(
    ("z", "top", "highest", "underside", "floor", "travel", "approach", "screw", "bridge", "recess"),
    [
        ("sheet_top", 0.0, 0.0, -1.9, -2.5, 8.0, 2.0, 4.0, -1.5, -0.8),
        ("board_top", 2.0, 2.1, 0.0, -0.4, 10.1, 4.1, 6.1, 0.4, 1.2),
    ],
)
def test_heights_by_hand(shop: Any, z: str, top: float, highest: float, underside: float, floor: float, travel: float, approach: float, screw: float, bridge: float, recess: float) -> None:  # fmt: skip
    keepout = Keepout(area=shapely.box(5, 5, 15, 15), height=4.0)
    sheet = shop.sheet(
        thickness=Thickness(nominal=2.0, least=1.9, most=2.1), zero=Zero(x=10.0, z=z), keepout=(keepout,)
    )
    setup = shop.place(shop.job(sheet=sheet, planes=Planes(travel=8.0, approach=2.0)))
    h = setup.heights
    found = (h.top, h.highest, h.underside, h.floor, h.travel, h.approach, h.bridge_top(0.4), h.at(0.8))
    assert found == pytest.approx((top, highest, underside, floor, travel, approach, bridge, recess))
    ((area, height),) = setup.keepouts
    assert area.bounds == (-5, 5, 5, 15)
    assert height == pytest.approx(screw)


def test_the_extent_is_that_of_the_arcs(shop: Any) -> None:
    """A slot of radius 5 whose centers lie 20 apart, turned by 45 degrees: its extent is 20/sqrt(2) + 10 both ways."""
    slot = Curve.join(
        [
            Curve.line([[0, -5], [20, -5]]),
            Curve.circle(20, 0, 5, start=-math.pi / 2, turn=math.pi),
            Curve.line([[20, 5], [0, 5]]),
            Curve.circle(0, 0, 5, start=math.pi / 2, turn=math.pi),
        ]
    )
    part = Part(name="link", drawing=Drawing.nested([Loop(slot)]), at=((10.0, 30.0),), turn=45.0)
    setup = shop.place(shop.job(shop.profile(), parts=(part,)))
    size = 20 / math.sqrt(2) + 10
    assert setup.pieces[0].loops[0].curve.bounds == pytest.approx((10, 30, 10 + size, 30 + size), abs=1e-9)


def test_pieces_and_works(shop: Any) -> None:
    parts = (shop.plate(at=((20.0, 20.0), (100.0, 20.0))), shop.plate(name="lid", at=((20.0, 100.0),)))
    setup = shop.place(shop.job(shop.drilling(), shop.profile(), parts=parts))
    assert [(p.part, p.copy, p.index, p.turn) for p in setup.pieces] == [
        ("plate", 1, 0, 0.0),
        ("plate", 2, 1, 0.0),
        ("lid", 1, 2, 0.0),
    ]
    assert [w.path for w in setup.works] == ["operations[0].drill", "operations[1].profile"]
    assert [w.loops for w in setup.works] == [((0, 1), (1, 1), (2, 1)), ((0, 0), (1, 0), (2, 0))]
    assert setup.works[0].rates.plunge_feed == 100.0
    assert setup.works[1].rates.feed == 500.0
    assert [setup.works[1].waste(v) for v in setup.pieces[0].loops] == ["outside", "inside"]


def test_no_size_is_the_extent_and_a_margin_and_a_warning(shop: Any) -> None:
    """Widest cutter 2 mm, so 7 mm around; the front left corner stays where the piece lies far enough from it."""
    setup = shop.place(shop.job(sheet=shop.sheet(size=None), parts=(shop.plate(at=((20.0, 3.0),)),)))
    assert setup.stock.bounds == (0, 0, 87, 54)  # 20 + 60 + 7; from 3 - 7 to 3 + 40 + 7: 54, its front edge is zero
    assert setup.pieces[0].loops[0].curve.bounds == (20, 7, 80, 47)
    assert setup.warnings == (
        "nobody measured the sheet: taken as 87 x 54 mm, the extent of the parts and 7 mm around",
    )


def test_zero_in_the_center_of_a_sheet_without_a_size(shop: Any) -> None:
    """At (0, 0) the sheet reaches from -7 to 67 and from -7 to 47: its center is that of the plate, (30, 20)."""
    zero = Zero(x="center", y="center")
    setup = shop.place(shop.job(sheet=shop.sheet(size=None, zero=zero), parts=(shop.plate(at=((0.0, 0.0),)),)))
    assert setup.stock.bounds == (-37, -27, 37, 27)
    assert setup.pieces[0].loops[0].curve.bounds == (-30, -20, 30, 20)


def test_no_board_is_a_warning(shop: Any) -> None:
    setup = shop.place(shop.job(sheet=shop.sheet(board=0.0), warnings=("told before",)))
    assert setup.warnings == (
        "told before",
        "nobody said that there is a board: a through cut goes 0.4 mm below the sheet, into what lies under it",
    )


def test_a_piece_may_lie_in_an_opening(shop: Any) -> None:
    frame = shop.part("frame", shop.box(0, 0, 100, 80), shop.box(10, 10, 80, 60))
    lid = shop.part("lid", shop.box(0, 0, 30, 20), at=((50.0, 50.0),))
    lids = shop.profile(select=shop.select({"part": "lid"}))
    job = shop.job(lids, shop.profile(select=shop.inner), shop.profile(select=shop.select({"part": "frame", "nesting": "outer"})), parts=(frame, lid))  # fmt: skip
    assert [p.part for p in shop.place(job).pieces] == ["frame", "lid"]


def test_what_lies_on_the_other_side_of_an_outline_is_not_cut(shop: Any) -> None:
    """A screw in an opening, 1.5 mm inside an outline whose kerf of 2 mm lies outside."""
    plate = shop.part("plate", shop.box(0, 0, 60, 40), shop.box(1, 1, 30, 20))
    job = shop.job(shop.profile(), parts=(plate,), ignore=shop.inner, sheet=shop.sheet(keepout=(screw(24.5, 24.5),)))
    assert shop.place(job).keepouts


def screw(x: float, y: float, height: float = 4.0) -> Keepout:
    return Keepout(area=shapely.Point(x, y).buffer(3.0), height=height)


CROSSED = shapely.Polygon([(200, 100), (210, 110), (210, 100), (200, 110)])

PLACES = {
    "outside": (
        lambda s: s.job(parts=(s.plate(at=((20.0, 20.0), (265.5, 170.0))),)),
        ["parts[0].at[1]: part 'plate' copy 2 at (265.5, 170) reaches 25.5 mm beyond its right edge and 10 mm beyond its back "
         "edge, on a sheet of 300 x 200 mm"],
    ),
    "outside at the front left": (
        lambda s: s.job(parts=(s.plate(at=((-1.25, -2.0),)),)),
        ["parts[0].at: part 'plate' copy 1 at (-1.25, -2) reaches 1.25 mm beyond its left edge and 2 mm beyond its front "
         "edge, on a sheet of 300 x 200 mm"],
    ),
    "overlap": (
        lambda s: s.job(parts=(s.plate(at=((20.0, 20.0), (75.0, 50.0))),)),
        ["parts[0].at[1]: part 'plate' copy 2 at (75, 50) and part 'plate' copy 1 at (20, 20) overlap by 50 mm2, allowed: "
         "pieces that lie apart"],
    ),
    "touch": (
        lambda s: s.job(parts=(s.plate(at=((20.0, 20.0), (80.0, 20.0))),)),
        ["parts[0].at[1]: part 'plate' copy 2 at (80, 20) and part 'plate' copy 1 at (20, 20) touch, allowed: pieces that lie "
         "apart"],
    ),
    "over a keepout": (
        lambda s: s.job(sheet=s.sheet(keepout=(screw(200, 100), screw(50, 40)))),
        ["parts[0].at: part 'plate' copy 1 at (20, 20) lies over sheet.keepout[1]"],
    ),
    "kerf into a neighbour": (  # 1.5 mm apart, and the cutter takes 2 mm
        lambda s: s.job(parts=(s.plate(at=((20.0, 20.0), (81.5, 20.0))),)),
        ["operations[1].profile: would cut into part 'plate' copy 2, 1.5 mm from an outline with a kerf of 2 mm, of part "
         "'plate' copy 1"],
    ),
    "kerf into a keepout": (  # a screw from x 81 on
        lambda s: s.job(sheet=s.sheet(keepout=(screw(84, 40),))),
        ["operations[1].profile: would cut into sheet.keepout[0], 1 mm from an outline with a kerf of 2 mm, of part 'plate' "
         "copy 1"],
    ),
    "a piece in a pocket": (
        lambda s: s.job(
            s.profile(select=s.select({"part": "lid"})), s.pocket(depth=None), s.profile(select=s.select({"part": "frame", "nesting": "outer"})),
            parts=(s.part("frame", s.box(0, 0, 100, 80), s.box(10, 10, 80, 60)), s.part("lid", s.box(0, 0, 30, 20), at=((50.0, 50.0),))),
        ),
        ["operations[1].pocket: would cut into part 'lid' copy 1, which lies in its area, of part 'frame' copy 1"],
    ),
    "grain": (
        lambda s: s.job(parts=(s.plate(turn=90.0),), sheet=s.sheet(grain=Grain(along=-90.0, turns=(0.0, 90.0)))),
        ["parts[0].turn: part 'plate' copy 1 at (20, 20) is turned 180 deg against the grain, allowed: 0, 90"],
    ),
    "no outline": (
        lambda s: s.job(parts=(s.plate(), Part(name="empty", drawing=Drawing(()), at=((1.0, 1.0),)))),
        ["parts[1].drawing: part 'empty' has no outline"],
    ),
    "no place": (lambda s: s.job(parts=(s.plate(at=()),)), ["parts[0].at: found none, allowed: one place or more"]),
    "zero": (
        lambda s: s.job(sheet=s.sheet(zero=Zero(x="middle", y=math.nan))),
        ["sheet.zero.x: found 'middle', allowed: left, center, right or a number",
         "sheet.zero.y: found nan, allowed: front, center, back or a number"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", PLACES)
def test_places_refused(shop: Any, case: str) -> None:
    job, expected = PLACES[case]
    assert shop.faults(job(shop)) == expected


@pytest.mark.parametrize("turn", [0.0, 180.0, -180.0, 540.0])
def test_grain_obeyed(shop: Any, turn: float) -> None:
    grain = Grain(along=90.0, turns=(90.0, 270.0))
    assert shop.place(shop.job(parts=(shop.plate(turn=turn),), sheet=shop.sheet(grain=grain))).pieces[0].turn == turn


def test_a_layout_without_room_is_a_fault(shop: Any) -> None:
    class Tight(Layout):
        def places(self, outline: Any, at: Any, turn: float) -> Any:
            raise NoRoom("12 copies do not fit")

    assert shop.faults(shop.job(parts=(shop.plate(layout=Tight()),))) == ["parts[0].layout: 12 copies do not fit"]


def with_mill(s: Any, *more: Any, **mill: Any) -> Any:
    cutter = attrs.evolve(s.mill, **mill)
    return s.job(s.drilling(), s.profile(cutter=cutter), cutters={"mill": cutter, "drill": s.drill})


LIMITS = {
    "flutes too short": (
        lambda s: with_mill(s, flute_length=2.3),
        ["operations[1].profile.cutter: its flute_length of 2.3 mm is too short: the cut is 2.4 mm deep"],
    ),
    "reach too short": (
        lambda s: with_mill(s, flute_length=2.0, reach=2.2),
        ["operations[1].profile.cutter: its reach of 2.2 mm is too short: the cut is 2.4 mm deep"],
    ),
    "a depth counts from the nominal top, the cutter from the highest": (  # touched off on the board: 2.1 - (2 - 1)
        lambda s: s.job(
            s.drilling(), s.profile(cutter=attrs.evolve(s.mill, flute_length=1.05), depth=1.0),
            cutters={"mill": attrs.evolve(s.mill, flute_length=1.05), "drill": s.drill},
            sheet=s.sheet(thickness=Thickness(nominal=2.0, least=1.9, most=2.1), zero=Zero(z="board_top")),
        ),
        ["operations[1].profile.cutter: its flute_length of 1.05 mm is too short: the cut is 1.1 mm deep"],
    ),
    "nut too low": (
        lambda s: with_mill(s, holder=Holder(diameter=12.0, above=2.0)),
        ["operations[1].profile.cutter: its holder.above of 2 mm is too short: the cut is 2.4 mm deep"],
    ),
    "a drill's point counts": (  # 2 + 0.4 + 0.8/tan(59 deg) = 2.4 + 0.4807
        lambda s: s.job(s.drilling(cutter=attrs.evolve(s.drill, flute_length=2.8)), s.profile(), cutters={"mill": s.mill, "drill": attrs.evolve(s.drill, flute_length=2.8)}),
        ["operations[0].drill.cutter: its flute_length of 2.8 mm is too short: the cut is 2.881 mm deep"],
    ),
    "board too thin for the point": (
        lambda s: s.job(sheet=s.sheet(board=0.8)),
        ["sheet.board: found 0.8 mm, allowed: above 0.8807 mm, how far operations[0].drill goes into it"],
    ),
    "board too thin": (
        lambda s: s.job(s.profile(select=s.select({})), sheet=s.sheet(board=0.4)),
        ["sheet.board: found 0.4 mm, allowed: above 0.4 mm, how far operations[0].profile goes into it"],
    ),
    "as deep as the thinnest place": (
        lambda s: s.job(s.drilling(), s.profile(depth=1.9), sheet=s.sheet(thickness=Thickness(nominal=2.0, least=1.9, most=2.1))),
        ["operations[1].profile.depth: found 1.9 mm, allowed: through, or less than the sheet's 1.9 mm"],
    ),
    "a blind hole whose point comes out": (
        lambda s: s.job(s.drilling(depth=1.6), s.profile()),
        ["operations[0].drill.depth: found 1.6 mm and a point of 0.4807 mm, allowed: through, or less than the sheet's 2 mm"],
    ),
    "no depth at all": (
        lambda s: s.job(s.drilling(), s.profile(depth=math.nan)),
        ["operations[1].profile.depth: found nan, allowed: through, or a depth above 0 mm"],
    ),
    "from below the depth": (
        lambda s: s.job(s.drilling(), s.pocket(select=s.inner, depth=0.8), s.profile(depth=0.5, start=0.5)),
        ["operations[1].pocket.select: 'inner' matches nothing; the drawings have 1 inner outline, all finished or pocketed before",
         "operations[2].profile.from: found 0.5 mm, allowed: less than the depth, 0.5 mm",
         "operations[2].profile.from: found 0.5 mm, but at (19, 40) material stands higher: no operation before it goes that "
         "deep there"],
    ),
    "bridge thicker than the sheet": (
        lambda s: s.job(s.drilling(), s.profile(bridges=attrs.evolve(s.bridges, thickness=1.95)), sheet=s.sheet(thickness=Thickness(nominal=2.0, least=1.9, most=2.1))),
        ["operations[1].profile.bridges.thickness: found 1.95 mm, allowed: at most 1.9 mm, the sheet at its thinnest"],
    ),
    "a drill along an outline": (
        lambda s: s.job(s.drilling(), s.profile(cutter=s.drill)),
        ["operations[1].profile.cutter: found a drill for a profile, allowed: an end_mill"],
    ),
    "a cutter from elsewhere": (
        lambda s: s.job(s.drilling(), s.profile(cutter=attrs.evolve(s.mill, name="other"))),
        ["operations[1].profile.cutter: found 'other', allowed: one of the job's cutters"],
    ),
    "two cutters with one number": (
        lambda s: s.job(s.drilling(), s.profile(), cutters={"mill": s.mill, "drill": s.drill, "spare": attrs.evolve(s.mill, number=2)}),
        ["cutters.spare.number: found 2, which is the number of 'drill' already"],
    ),
    "two parts with one name": (
        lambda s: s.job(parts=(s.plate(), s.plate(at=((100.0, 100.0),)))),
        ["parts[1].name: found 'plate', which is the name of parts[0] already"],
    ),
    "two parts with one name, and different outlines": (
        lambda s: s.job(parts=(s.plate(), s.part("plate", s.box(0, 0, 60, 40), s.hole(10, 5, 1.6), s.hole(20, 5, 1.6), at=((100.0, 100.0),)))),
        ["parts[1].name: found 'plate', which is the name of parts[0] already"],
    ),
    "travel plane under a screw": (
        lambda s: s.job(sheet=s.sheet(keepout=(screw(200, 100, 6.5),))),
        ["planes.travel: found 8 mm, allowed: at least 8.5 mm, 2 mm above the highest keepout"],
    ),
    "a keepout that crosses itself": (
        lambda s: s.job(sheet=s.sheet(keepout=(Keepout(area=CROSSED, height=1.0),))),
        ["sheet.keepout[0]: its outline crosses itself or has no area"],
    ),
    "machine too small": (  # in Z: 8 above the sheet, 2.4 below, and the drill's point of 0.4807
        lambda s: s.job(machine=attrs.evolve(s.machine, travel=(250.0, 200.0, 10.5))),
        ["sheet.size: the sheet is 300 mm in X, allowed: at most 250 mm, the machine's travel",
         "planes.travel: from the deepest cut to the travel plane it is 10.8807 mm in Z, allowed: at most 10.5 mm, the "
         "machine's travel"],
    ),
    "tolerance": (lambda s: s.job(tolerance=math.nan), ["tolerance: found nan, allowed: a number above 0 mm"]),
    "nothing to do": (
        lambda s: attrs.evolve(s.job(), operations=()),
        ["operations: found none, allowed: at least one operation",
         "parts[0]: no operation works on part 'plate': outer outline of 60 x 40 mm at (0, 0); allowed: select it, or `ignore`",
         "parts[0]: no operation works on part 'plate': inner circle of 1.6 mm at (10, 5); allowed: select it, or `ignore`"],
    ),
    "a rate that cannot be": (
        lambda s: s.job(s.drilling(), s.profile(feed=3500.0)),
        ["operations[1].profile.feed: found 3500 mm/min, allowed: at most 3000 mm/min, what bench router feeds in X and Y"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", LIMITS)
def test_limits_refused(shop: Any, case: str) -> None:
    job, expected = LIMITS[case]
    assert shop.faults(job(shop)) == expected


def test_faults_name_file_and_line_and_come_all_at_once(shop: Any) -> None:
    origin = Origin(
        "station.yaml", {"parts[0].at": (12, 9), "operations[1].profile": (20, 5), "operations[1]": (20, 3)}
    )
    job = shop.job(
        shop.drilling(), shop.profile(depth=1.0, skin=0.2), parts=(shop.plate(at=((-3.0, 0.0),)),), origin=origin
    )
    assert shop.faults(job) == [
        "station.yaml:12:9: parts[0].at: part 'plate' copy 1 at (-3, 0) reaches 3 mm beyond its left edge, on a sheet of "
        "300 x 200 mm",
        "station.yaml:20:5: operations[1].profile.skin: found 0.2 mm with a depth of 1 mm, allowed: with depth `through`",
    ]
