"""Ways along walls, measured by shapely alone: a cutter's radius from the wall everywhere, and every wall reached."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Loop
from kerfwright.errors import InputError
from kerfwright.job import Part
from kerfwright.placing import place
from kerfwright.planning import plan, plan_setup
from kerfwright.program import Drilling, Motion, Program, Role
from kerfwright.registry import Registry
from kerfwright.sheet import Keepout

SHAPES = ("plate", "neck", "comb", "gear", "rib", "star", "tiny")
EXACT = 0.003
REGISTRY = Registry.load()


def rings(shape: Any) -> list[Loop]:
    return [Loop(Curve.line(np.array(r.coords))) for p in shapely.get_parts(shape) for r in (p.exterior, *p.interiors)]


def piece(name: str, shape: Any, at: Any = ((60.0, 60.0),)) -> Part:
    """Its lower left corner goes to `at`."""
    return Part(name=name, drawing=Drawing.nested(rings(shape)), at=at)


def nested() -> Any:
    """Squares in squares, five deep: a rim, an opening, a rim in it, an opening in that, and a core."""
    sizes = (30, 24, 18, 12, 5)
    loops = [shapely.box(-k, -k, k, k) for k in sizes]
    return shapely.unary_union([loops[0] - loops[1], loops[2] - loops[3], loops[4]])


def both(shop: Any, **more: Any) -> tuple[Any, Any]:
    """Inner outlines, then outer ones."""
    said = {"bridges": None, "entry": REGISTRY.strategies["entry", "toolaxis"](), **more}
    return shop.profile(select=shop.inner, **said), shop.profile(**said)


def motions(programs: tuple[Program, ...]) -> list[Motion]:
    return [s for p in programs for s in p.steps if isinstance(s, Motion)]


def points(motion: Motion, role: Role = Role.CONTACT, below: float = np.inf) -> Any:
    """Points (m, 2) every 0.1 mm or closer, on segments of a role that reach below a height; ends left out."""
    c = motion.curve
    out = []
    z = np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2])
    for k in np.flatnonzero((motion.roles == role) & (z < below) & (c.lengths > 1e-6)):
        n = max(2, int(c.lengths[k] / 0.1) + 1)
        one = Curve(c.nodes[k : k + 2], c.turns[k : k + 1])
        out.append(one.at(np.linspace(0, one.length, n))[0][:, :2])
    return np.vstack(out)


def solid(setup: Any) -> Any:
    """What must stay of all pieces, even-odd, from their outlines."""
    parts = []
    for p in setup.pieces:
        area = shapely.Polygon()
        for loop in p.loops:
            area = shapely.symmetric_difference(area, loop.curve.polygon(0.0002))
        parts.append(area)
    return shapely.union_all(parts)


def measured(job: Any, radius: float) -> tuple[Any, Any, tuple[Program, ...]]:
    """Distances of all contact points from what stays, and of all wall points that a round cutter reaches from the way."""
    (setup,) = place(job, REGISTRY)
    programs = plan_setup(setup, REGISTRY)
    stays = solid(setup)
    found = np.vstack([points(m) for m in motions(programs)])
    off = shapely.distance(shapely.points(found), shapely.boundary(stays))
    inside = shapely.contains_properly(stays, shapely.points(found))
    assert not inside.any()
    world = shapely.box(*(np.array(stays.bounds) + [-20, -20, 20, 20]))
    free = shapely.difference(world, stays)
    reach = shapely.buffer(shapely.buffer(free, -radius, quad_segs=64), radius, quad_segs=64)
    walls = shapely.segmentize(shapely.boundary(stays), 0.2)
    wall = shapely.points(shapely.get_coordinates(walls))
    wall = wall[shapely.distance(wall, reach) < 0.002]
    ways = shapely.union_all([m.curve.path(0.0005) for m in _contact(programs)])
    return off, shapely.distance(wall, ways), programs


def _contact(programs: tuple[Program, ...]) -> list[Motion]:
    out = []
    for m in motions(programs):
        edges = np.flatnonzero(np.diff(np.concatenate([[0], m.roles == Role.CONTACT, [0]])))
        for a, b in edges.reshape(-1, 2):
            out.append(Motion(Curve(m.curve.nodes[a : b + 1], m.curve.turns[a:b]), m.roles[a:b], m.feeds[a:b]))
    return out


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize("name", [*SHAPES, "nested"])
def test_the_way_keeps_its_distance_and_reaches_every_wall(shop: Any, shapes: Any, name: str, cutmode: str) -> None:
    shape = nested() if name == "nested" else shapes[name]
    has_holes = len(shapely.get_rings(shapely.get_parts(shape))) > len(shapely.get_parts(shape))
    operations = both(shop, cutmode=cutmode)[0 if has_holes else 1 :]
    if name == "nested":  # one operation, which puts them in order
        operations = (shop.profile(select=shop.select({}), bridges=None, cutmode=cutmode),)
    job = shop.job(*operations, parts=(piece("one", shape),), sheet=shop.sheet(hold="tape"))  # fmt: skip
    off, left, _ = measured(job, 1.0)
    assert off.min() > 1.0 - EXACT
    assert off.max() < 1.0 + EXACT
    assert left.max() < 1.0 + EXACT + 0.002


def test_a_piece_in_an_opening_of_another(shop: Any) -> None:
    frame = shapely.box(0, 0, 60, 60) - shapely.box(10, 10, 50, 50)
    lid = shapely.box(0, 0, 20, 20) - shapely.box(6, 6, 14, 14)
    parts = (piece("frame", frame), piece("lid", lid, at=((80.0, 80.0),)))
    lids = shop.select({"part": "lid", "nesting": "outer"})
    more = {"bridges": None}
    job = shop.job(
        shop.profile(select=shop.select({"part": "lid", "nesting": "inner"}), **more),
        shop.profile(select=lids, **more),
        shop.profile(select=shop.select({"part": "frame", "nesting": "inner"}), **more),
        shop.profile(select=shop.select({"part": "frame", "nesting": "outer"}), **more),
        parts=parts,
        sheet=shop.sheet(hold="tape"),
    )
    off, left, programs = measured(job, 1.0)
    assert (off.min(), off.max(), left.max()) == pytest.approx((1, 1, 1), abs=EXACT)
    # the lid's outside goes round in the opening: every point of its way at least a radius inside of it
    way = points(motions(programs)[1])
    assert shapely.contains(shapely.box(70.999, 70.999, 109.001, 109.001), shapely.multipoints(way))


def test_conventional_is_climb_the_other_way_round(shop: Any, shapes: Any) -> None:
    """Climb: material on the right, so round an outer outline clockwise and round an inner one counter-clockwise."""
    found = {}
    for mode in ("climb", "conventional"):
        job = shop.job(*both(shop, cutmode=mode), parts=(piece("one", shapes["plate"]),), sheet=shop.sheet(hold="tape"))
        inner, outer = motions(plan_setup(place(job, REGISTRY)[0]))
        (ring,) = [m for m in _contact_of(outer) if m.curve.nodes[0, 2] < -2]
        holes = [m for m in _contact_of(inner) if m.curve.nodes[0, 2] < -2]
        assert len(holes) == 11
        found[mode] = (ring.curve.signed_area, sorted(m.curve.signed_area for m in holes))
        side = 1 if mode == "climb" else -1
        for m in (*holes, ring):
            assert set(m.waste.tolist()) == {side}
    (a, b), (c, d) = found["climb"], found["conventional"]
    assert a < 0 < b[0]
    assert (a, *b) == pytest.approx((-c, *[-x for x in reversed(d)]), rel=1e-6)


def _contact_of(motion: Motion) -> list[Motion]:
    out = []
    m = motion
    z = m.curve.nodes[:, 2]
    level = (m.roles == Role.CONTACT) & (z[1:] == z[:-1])
    edges = np.flatnonzero(np.diff(np.concatenate([[0], level, [0]])))
    for a, b in edges.reshape(-1, 2):
        out.append(
            Motion(Curve(m.curve.nodes[a : b + 1], m.curve.turns[a:b]), m.roles[a:b], m.feeds[a:b], m.waste[a:b])
        )
    return out


def test_mirrored_drawing_cut_conventionally_is_the_mirror_image(shop: Any, shapes: Any) -> None:
    """The way of climb on a part, seen in a mirror, is that of conventional on the mirrored part."""
    shape = shapes["comb"]
    mirror = shapely.transform(shape, lambda p: p * [-1, 1])
    ways = []
    for one, mode in ((shape, "climb"), (mirror, "conventional")):
        job = shop.job(both(shop, cutmode=mode)[1], parts=(piece("one", one),), sheet=shop.sheet(hold="tape"))
        (motion,) = motions(plan_setup(place(job, REGISTRY)[0]))
        lap = _contact_of(motion)[-1].curve
        x0, y0, x1, _ = lap.bounds
        ways.append((lap.signed_area, shapely.transform(lap.polygon(), lambda p, m=(x0 + x1) / 2, y=y0: p - [m, y])))
    assert ways[0][0] == pytest.approx(-ways[1][0], abs=1e-3)
    back = shapely.transform(ways[1][1], lambda p: p * [-1, 1])
    assert shapely.hausdorff_distance(ways[0][1].exterior, back.exterior) < EXACT


def test_copies_are_equal(shop: Any, shapes: Any) -> None:
    at = ((30.0, 30.0), (120.25, 30.0), (30.0, 100.125))
    job = shop.job(both(shop)[1], parts=(piece("one", shapes["comb"], at),), sheet=shop.sheet(hold="tape"))
    (motion,) = motions(plan(job, REGISTRY))
    laps = [m.curve for m in _contact_of(motion) if m.curve.nodes[0, 2] < -2]
    corner = [np.array(c.bounds[:2]) + 1 for c in laps]
    assert {tuple(np.round(c, 3).tolist()) for c in corner} == set(at)
    first = laps[0].nodes[:, :2] - corner[0]
    for lap, c in zip(laps[1:], corner[1:], strict=True):
        assert lap.nodes[:, :2] - c == pytest.approx(first, abs=1e-6)


def test_the_same_job_gives_the_same_bytes(shop: Any, shapes: Any) -> None:
    def once() -> bytes:
        parts = (piece("one", shapes["plate"], ((30.0, 30.0), (120.0, 30.0))),)
        job = shop.job(*both(shop, cutmode="conventional"), parts=parts, sheet=shop.sheet(hold="tape"))
        m = motions(plan(job, Registry.load()))
        return b"".join(v.curve.nodes.tobytes() + v.curve.turns.tobytes() + v.feeds.tobytes() for v in m)

    assert once() == once()


def test_on_the_line(shop: Any) -> None:
    """The center runs on the outline itself: both sides go, and chords may lie on either."""
    job = shop.job(shop.profile(waste="line", depth=0.5, bridges=None), parts=(piece("one", shapely.box(0, 0, 30, 20)),), sheet=shop.sheet(hold="tape"))  # fmt: skip
    (motion,) = motions(plan(job, REGISTRY))
    off = shapely.distance(shapely.points(points(motion)), shapely.box(60, 60, 90, 80).exterior)
    assert off.max() < 1e-9
    assert motion.curve.nodes[:, 2].min() == -0.5
    assert set(motion.waste.tolist()) == {0}


def test_a_groove_inside_an_outline_stays_on_its_way(shop: Any) -> None:
    """Inside of an outer outline there is material: no lead and no helix may leave the way."""
    job = shop.job(shop.profile(waste="inside", depth=0.5, bridges=None), parts=(piece("one", shapely.box(0, 0, 30, 20)),), sheet=shop.sheet(hold="tape"))  # fmt: skip
    (motion,) = motions(plan(job, REGISTRY))
    off = shapely.distance(shapely.points(points(motion)), shapely.box(61, 61, 89, 79).exterior)
    assert off.max() < EXACT


def test_what_lies_inside_comes_first(shop: Any) -> None:
    """One operation over outlines five deep: the core, then each opening and rim from the inside out."""
    job = shop.job(shop.profile(select=shop.select({}), bridges=None), parts=(piece("one", nested()),), sheet=shop.sheet(hold="tape"))  # fmt: skip
    (motion,) = motions(plan(job, REGISTRY))
    laps = [m.curve for m in _contact_of(motion) if m.curve.nodes[0, 2] < -2]
    sizes = [round(c.bounds[2] - c.bounds[0]) for c in laps]
    # outer outlines of 10, 36 and 60 mm are cut 2 mm wider, openings of 24 and 48 mm 2 mm narrower
    assert sizes == [12, 22, 38, 46, 62]


def test_rapids_only_in_the_air(shop: Any, shapes: Any) -> None:
    job = shop.job(
        shop.drilling(select=shop.select({"circles": (1.5, 1.7)})), *both(shop), sheet=shop.sheet(hold="tape")
    )
    parts = (piece("one", shapes["plate"]), shop.plate(name="two", at=((150.0, 60.0),)))
    job = shop.job(*job.operations, parts=parts, sheet=shop.sheet(hold="tape"))
    (setup,) = place(job, REGISTRY)
    seen = 0
    for program in plan_setup(setup):
        for step in program.steps:
            m = step.expanded() if isinstance(step, Drilling) else step
            if not isinstance(m, Motion):
                continue
            z0, z1 = m.curve.nodes[:-1, 2], m.curve.nodes[1:, 2]
            rapid = m.feeds == 0
            across = rapid & (m.curve.lengths > 0)
            down = rapid & (z1 < z0)
            assert (z0[across] == setup.heights.travel).all()
            assert (z1[across] == setup.heights.travel).all()
            assert (z1[down] >= setup.heights.approach).all()
            assert m.curve.nodes[-1, 2] == setup.heights.travel
            steep = ~rapid & (z0 - z1 > m.curve.lengths + 1e-9)
            assert (m.feeds[steep] == 100.0).all()
            seen += int(across.sum())
    assert seen > 10


REFUSALS = {
    "hole smaller than the cutter": (
        lambda s: s.job(*both(s), parts=(s.part("one", s.box(0, 0, 60, 40), s.hole(30, 20, 1.9)),), sheet=s.sheet(hold="tape")),
        "operations[0].profile.cutter: part 'one' copy 1, circle of 1.900 mm at (50.000, 40.000): found a cutter of 2 mm, "
        "allowed: at most 1.87 mm, the largest that enters",
    ),
    "no bridge fits": (
        lambda s: s.job(both(s, bridges=spacing(width=4.0))[1], parts=(s.part("one", s.box(0, 0, 5, 5)),)),
        "operations[0].profile.bridges: part 'one' copy 1, outline of 5.000 x 5.000 mm at (20.000, 20.000): no room: an outline",
    ),
    "nothing stands beside the bridge": (
        lambda s: s.job(both(s, bridges=spacing())[1], parts=(s.part("one", s.box(0, 0, 60, 40), at=((2.0, 2.0),)),), sheet=s.sheet(hold="tape")),
        "no room: nothing is left standing within 12.0 mm of the bridge at (",
    ),
    "pocket narrower than the cutter": (
        lambda s: s.job(s.pocket(), parts=(s.part("one", s.box(0, 0, 60, 40), s.box(10, 10, 20, 1.5)),), ignore=s.outer),
        "operations[0].pocket.cutter: part 'one' copy 1, outline of 20.000 x 1.500 mm at (30.000, 30.000): found a cutter of "
        "2 mm, allowed: at most 1.48 mm, the largest that enters",
    ),
    "no way between an opening and what stands in it": (
        lambda s: s.job(
            s.profile(select=s.select({}), bridges=None),
            parts=(s.part("one", s.box(0, 0, 40, 40), s.box(5, 5, 30, 30), s.box(6, 6, 28, 28)),),
            sheet=s.sheet(hold="tape"),
        ),
        "part 'one' copy 1, outline of 30.000 x 30.000 mm at (25.000, 25.000): no way along it: part 'one' copy 1, outline of "
        "28.000 x 28.000 mm at (26.000, 26.000) stands in the way at (",
    ),
}  # fmt: skip


def spacing(**more: Any) -> Any:
    return REGISTRY.strategies["bridges", "spacing"](**more)


@pytest.mark.parametrize("name", REFUSALS)
def test_refusals(shop: Any, name: str) -> None:
    make, message = REFUSALS[name]
    with pytest.raises(InputError) as e:
        plan(make(shop), REGISTRY)
    assert message in str(e.value)


def test_a_keepout_beside_a_piece_is_no_place_for_a_lead(shop: Any) -> None:
    """3 mm off the outline, 1 mm off the kerf: the way passes, and keeps a radius from it."""
    screw = Keepout(area=shapely.box(93, 60, 99, 80), height=4.0)
    job = shop.job(both(shop)[1], parts=(piece("one", shapely.box(0, 0, 30, 20)),), sheet=shop.sheet(hold="tape", keepout=(screw,)))  # fmt: skip
    (motion,) = motions(plan(job, REGISTRY))
    assert shapely.distance(shapely.points(points(motion)), screw.area).min() == pytest.approx(2.0, abs=EXACT)


def test_a_lid_in_the_opening_of_one_copy_only(shop: Any) -> None:
    """Two frames, planned once; a lid lies in the second: both are cut alike, the lid's way keeps inside its opening."""
    frame = shapely.box(0, 0, 60, 60) - shapely.box(10, 10, 50, 50)
    parts = (
        piece("frame", frame, ((20.0, 60.0), (100.0, 60.0))),
        piece("lid", shapely.box(0, 0, 34, 34), ((113.0, 73.0),)),
    )
    job = shop.job(
        shop.profile(select=shop.select({"part": "lid"}), bridges=None, entry=REGISTRY.strategies["entry", "ramp"]()),
        *both(shop)[:1],
        shop.profile(select=shop.select({"part": "frame", "nesting": "outer"}), bridges=None),
        parts=parts,
        sheet=shop.sheet(hold="tape"),
    )
    off, left, programs = measured(job, 1.0)
    assert (off.min(), off.max(), left.max()) == pytest.approx((1, 1, 1), abs=EXACT)
    inner = [m.curve for m in _contact_of(motions(programs)[1]) if m.curve.nodes[0, 2] < -2]
    assert [round(c.bounds[0], 2) for c in sorted(inner, key=lambda c: c.bounds[0])] == [31.0, 111.0]


def test_no_way_where_a_lid_lies_too_near(shop: Any) -> None:
    """1.5 mm between the second frame's opening and the lid in it: no way for 2 mm, whoever is asked first."""
    frame = shapely.box(0, 0, 60, 60) - shapely.box(10, 10, 50, 50)
    parts = (
        piece("frame", frame, ((20.0, 60.0), (100.0, 60.0))),
        piece("lid", shapely.box(0, 0, 34, 34), ((111.5, 73.0),)),
    )
    job = shop.job(
        shop.profile(select=shop.select({"part": "lid"}), bridges=None),
        *both(shop)[:1],
        shop.profile(select=shop.select({"part": "frame", "nesting": "outer"}), bridges=None),
        parts=parts,
        sheet=shop.sheet(hold="tape"),
    )
    with pytest.raises(InputError) as e:
        plan(job, REGISTRY)
    assert "operations[0].profile: would cut into part 'frame' copy 2" in str(e.value)
