"""Bridges measured from the motion: what still stands below their top, whoever cuts past them."""

from __future__ import annotations

import math
from typing import Any

import attrs
import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.errors import InputError
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.program import Motion, Program
from kerfwright.registry import Registry

REGISTRY = Registry.load()


def spacing(**more: Any) -> Any:
    return REGISTRY.strategies["bridges", "spacing"](**{"width": 0.8, "thickness": 0.6, "spacing": 40.0, **more})


def entry(name: str, **more: Any) -> Any:
    return REGISTRY.strategies["entry", name](**more)


def planned(job: Any) -> tuple[Any, tuple[Program, ...]]:
    (setup,) = place(job, REGISTRY)
    return setup, plan_setup(setup, REGISTRY)


def swept_below(programs: tuple[Program, ...], z: float) -> Any:
    """What all moves with some part below z take, in plan: sum of the cutter's disc along each segment."""
    out = []
    for p in programs:
        for m in p.steps:
            if not isinstance(m, Motion):
                continue
            c = m.curve
            for k in np.flatnonzero(np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2]) < z - 1e-6):
                one = Curve(c.nodes[k : k + 2], c.turns[k : k + 1])
                line = one.path(0.0005) if one.length > 1e-9 else shapely.Point(one.start[:2])
                out.append(shapely.buffer(line, p.cutter.radius, quad_segs=64))
    return shapely.union_all(out)


def held(setup: Any, programs: tuple[Program, ...], top: float, width: float) -> list[bool]:
    """Whether each piece still hangs on the rim of the sheet below `top`, through waists of `width` at least."""
    left = shapely.difference(setup.stock, swept_below(programs, top))
    thick = shapely.buffer(left, -(width / 2 - 0.005), quad_segs=32)
    rim = [g for g in shapely.get_parts(thick) if shapely.intersects(g, shapely.buffer(setup.stock.exterior, 3))]
    inside = [shapely.buffer(p.loops[0].curve.polygon(), -2).representative_point() for p in setup.pieces]
    return [any(shapely.contains(g, p) for g in rim) for p in inside]


def raised(programs: tuple[Program, ...], floor: float, z: float) -> list[float]:
    """Lengths of the level stretches at z between drops to the floor, along one motion."""
    (motion,) = [s for p in programs for s in p.steps if isinstance(s, Motion)]
    c, out, run = motion.curve, [], 0.0
    for a, b, length in zip(c.nodes[:-1, 2], c.nodes[1:, 2], c.lengths, strict=True):
        if a == b == pytest.approx(z):
            run += float(length)
        elif run and b < z:
            out.append(run)
            run = 0.0
        elif b > z:
            run = 0.0
    assert c.nodes[:, 2].min() == pytest.approx(floor)
    return out


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize("way", ["toolaxis", "ramp"])
@pytest.mark.parametrize("passes", ["single", "equal"])
def test_width_and_thickness_as_asked(shop: Any, cutmode: str, way: str, passes: str) -> None:
    """Around 60 x 40: five or more bridges, each raised over 0.8 + 2.0 mm to -2 + 0.6."""
    op = shop.profile(
        bridges=spacing(), cutmode=cutmode, entry=entry(way), passes=REGISTRY.strategies["passes", passes]()
    )
    setup, programs = planned(shop.job(shop.drilling(), op))
    assert held(setup, programs, -1.4, 0.8) == [True]
    assert held(setup, programs, -1.4, 1.2) == [False]
    lengths = raised(programs, -2.4, -1.4)
    assert len(lengths) >= 5
    assert [v for v in lengths if v > 1e-6] == pytest.approx([2.8] * len(lengths), abs=1e-6)


def test_sloped_flanks_leave_at_least_the_width(shop: Any) -> None:
    """45 degrees: at the floor, 1.0 mm below the top, the flanks have run 1.0 mm to either side."""
    setup, programs = planned(
        shop.job(shop.drilling(), shop.profile(bridges=spacing(slope=45.0), entry=entry("toolaxis")))
    )
    assert held(setup, programs, -1.4, 0.8) == [True]
    (motion,) = [s for p in programs for s in p.steps if isinstance(s, Motion)]
    c = motion.curve
    rise = np.diff(c.nodes[:, 2])
    flank = (np.abs(rise) > 1e-6) & (c.nodes[:-1, 2] <= -1.4 + 1e-6) & (c.nodes[1:, 2] <= -1.4 + 1e-6) & (c.lengths > 0)
    assert flank.sum() >= 10
    assert np.abs(rise[flank]) == pytest.approx(c.lengths[flank] * math.tan(math.radians(45)))


@pytest.mark.parametrize("gap", [2.0, 3.0, 3.9, 4.3, 6.0])
@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
def test_a_neighbours_cut_does_not_cut_a_bridge_off(shop: Any, gap: float, cutmode: str) -> None:
    """Kerfs of 2 mm side by side: one kerf for both, overlapping, a thin web between, apart."""
    at = ((40.0, 40.0), (100.0 + gap, 40.0), (40.0, 80.0 + gap), (100.0 + gap, 80.0 + gap))
    job = shop.job(shop.drilling(), shop.profile(bridges=spacing(), cutmode=cutmode), parts=(shop.plate(at=at),))
    setup, programs = planned(job)
    assert held(setup, programs, -1.4, 0.8) == [True] * 4


@pytest.mark.parametrize("first", [True, False])
def test_bridges_bind_every_operation_that_cuts_the_outline(shop: Any, first: bool) -> None:
    """A wider cutter goes down to -1.8 along the same outline: it is raised too, over 0.8 + 3.0 mm, before or after."""
    wide = attrs.evolve(shop.mill, name="wide", number=3, diameter=3.0)
    rough = shop.profile(
        cutter=wide, depth=1.8, bridges=None, entry=entry("toolaxis"), passes=REGISTRY.strategies["passes", "single"]()
    )
    fine = shop.profile(bridges=spacing(), entry=entry("toolaxis"), passes=REGISTRY.strategies["passes", "single"]())
    cutters = {"mill": shop.mill, "drill": shop.drill, "wide": wide}
    operations = (rough, fine) if first else (fine, rough)
    setup, programs = planned(shop.job(shop.drilling(), *operations, cutters=cutters))
    assert held(setup, programs, -1.4, 0.8) == [True]
    one = tuple(p for p in programs if p.cutter == wide)
    lengths = raised(one, -1.8, -1.4)
    assert lengths == pytest.approx([3.8] * len(raised(tuple(p for p in programs if p.cutter == shop.mill), -2.4, -1.4)), abs=1e-6)  # fmt: skip


def test_a_slug_hangs_on_the_piece(shop: Any) -> None:
    """An inner outline: the bridge goes from the wall into the slug."""
    part = shop.part("frame", shop.box(0, 0, 80, 60), shop.box(20, 15, 40, 30), at=((40.0, 40.0),))
    inner = shop.profile(select=shop.inner, bridges=spacing())
    setup, programs = planned(shop.job(inner, shop.profile(bridges=spacing()), parts=(part,)))
    left = shapely.difference(setup.stock, swept_below(programs, -1.4))
    slug = shapely.Point(80, 70)
    whole = next(g for g in shapely.get_parts(shapely.buffer(left, -0.395)) if shapely.contains(g, slug))
    assert shapely.contains(whole, shapely.Point(45, 45))
    assert shapely.contains(whole, shapely.Point(5, 5))


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
def test_what_a_pocket_surrounds_hangs_on_the_rim(shop: Any, cutmode: str) -> None:
    """A ring 8 mm wide cleared through around an island of 20 x 20."""
    part = shop.part(
        "plate", shop.box(0, 0, 80, 60), shop.box(20, 12, 36, 36), shop.box(28, 20, 20, 20), at=((40.0, 40.0),)
    )
    pocket = shop.pocket(
        select=shop.select({"within": (10, 5, 70, 55)}), depth=None, bridges=spacing(spacing=20.0), cutmode=cutmode
    )
    setup, programs = planned(shop.job(pocket, parts=(part,), ignore=shop.select({"nesting": "outer"})))
    left = shapely.buffer(shapely.difference(setup.stock, swept_below(programs, -1.4)), -0.395)
    island = next(g for g in shapely.get_parts(left) if shapely.contains(g, shapely.Point(78, 70)))
    assert shapely.contains(island, shapely.Point(45, 45))
    # and above the bridges all of it is gone
    above = shapely.difference(shapely.box(60, 52, 96, 88) - shapely.box(68, 60, 88, 80), swept_below(programs, -0.9))
    assert shapely.is_empty(shapely.buffer(above, -0.25))


def test_a_bridge_that_reaches_nothing_is_refused(shop: Any) -> None:
    """1.5 mm from the edge of the sheet a kerf of 2 mm leaves nothing."""
    part = shop.part("one", shop.box(0, 0, 60, 40), at=((1.5, 1.5),))
    with pytest.raises(InputError) as e:
        planned(shop.job(shop.profile(bridges=spacing()), parts=(part,), sheet=shop.sheet(hold="tape")))
    message = (
        "operations[0].profile.bridges: part 'one' copy 1, outline of 60.000 x 40.000 mm at (1.500, 1.500): no room: "
        "nothing is left standing within 12.0 mm of the bridge at ("
    )
    assert message in str(e.value)
