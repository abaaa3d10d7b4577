"""What a way down leaves sloping is cut flat afterwards; and no way down comes nearer to a wall than its cut does."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.errors import InputError
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.program import Motion, Role
from kerfwright.registry import Registry

REGISTRY = Registry.load()
FLOORS = {"pocket": -0.8, "profile": -2.4}
CASES = [
    ("ramp", {"angle": 3.0}),
    ("ramp", {"angle": 20.0}),
    ("helix", {"angle": 4.0}),
    ("helix", {"angle": 4.0, "radius": 2.0}),
    ("zigzag", {"angle": 3.0}),
    ("zigzag", {"angle": 6.0, "length": 1.0}),
    ("toolaxis", {}),
]


def sweep(motion: Motion, some: Any, radius: float) -> Any:
    """What some segments take, each by itself: a closed line may get a false hole."""
    c = motion.curve
    lines = [Curve(c.nodes[k : k + 2], c.turns[k : k + 1]).path(0.0005) for k in np.flatnonzero(some)]
    return shapely.union_all(shapely.buffer(np.array(lines, object), radius, quad_segs=32))


def planned(shop: Any, kind: str, name: str, said: dict[str, float], cutmode: str) -> tuple[Motion, Any]:
    """A plate with a round and a square opening that are cleared to 0.8 mm or cut out; what must stand."""
    entry = REGISTRY.strategies["entry", name](**said)
    part = shop.part("plate", shop.box(0, 0, 60, 40), shop.hole(15, 15, 9), shop.box(30, 8, 14, 11))
    more = {"entry": entry, "cutmode": cutmode, "select": shop.inner, "axial_depth": -FLOORS[kind] / 2}
    first = shop.pocket(**more, depth=0.8) if kind == "pocket" else shop.profile(**more, bridges=None)
    after = shop.profile(bridges=None)
    (setup,) = place(shop.job(first, after, parts=(part,), sheet=shop.sheet(hold="tape")), REGISTRY)
    (program,) = plan_setup(setup, REGISTRY)
    motion = next(s for s in program.steps if isinstance(s, Motion))
    outline, *holes = (v.curve.polygon() for v in setup.pieces[0].loops)
    return motion, shapely.difference(outline, shapely.union_all(holes))


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize(("name", "said"), CASES)
@pytest.mark.parametrize("kind", ["pocket", "profile"])
def test_the_flat_lap_clears_the_slope(shop: Any, kind: str, name: str, said: dict[str, float], cutmode: str) -> None:
    motion, stands = planned(shop, kind, name, said, cutmode)
    z = motion.curve.nodes[:, 2]
    slope = (np.diff(z) < -1e-9) & (z[1:] < -1e-9) & (motion.roles == Role.APPROACH)
    flat = (np.maximum(z[:-1], z[1:]) < FLOORS[kind] + 1e-9) & (motion.roles == Role.CONTACT)
    assert slope.sum() >= 4  # two openings, two levels
    sloping, level = sweep(motion, slope, 1.0 - 0.002), sweep(motion, flat, 1.0 + 0.002)
    left = shapely.difference(sloping, level)
    beside = kind == "profile" and name in ("helix", "zigzag")
    if not beside:
        assert left.area < 1e-6
    else:  # off the cut, in waste: behind the kerf that keeps the part's wall flat
        assert left.is_empty or shapely.distance(left, stands) > 2 - 0.01
    assert shapely.distance(sweep(motion, slope, 1e-6), stands) > 1 - 0.005


def test_a_wide_helix_beside_a_profile_does_leave_a_slope_in_the_waste(shop: Any) -> None:
    """So the test above has something to measure."""
    motion, _ = planned(shop, "profile", "helix", {"angle": 4.0, "radius": 2.0}, "climb")
    z = motion.curve.nodes[:, 2]
    slope = (np.diff(z) < -1e-9) & (z[1:] < -1e-9)
    flat = np.maximum(z[:-1], z[1:]) < FLOORS["profile"] + 1e-9
    assert shapely.difference(sweep(motion, slope, 1.0), sweep(motion, flat, 1.0)).area > 5


@pytest.mark.parametrize(("name", "said"), [CASES[2], CASES[4]])
def test_in_a_groove_a_way_down_leaves_the_cut_nowhere(shop: Any, name: str, said: dict[str, float]) -> None:
    """What lies beside a profile that does not go through is no waste."""
    entry = REGISTRY.strategies["entry", name](**said)
    part = shop.part("plate", shop.box(0, 0, 60, 40), shop.hole(15, 15, 9))
    groove = shop.profile(depth=0.8, select=shop.inner, entry=entry, bridges=None)
    job = shop.job(groove, shop.profile(bridges=None), parts=(part,), sheet=shop.sheet(hold="tape"))
    (setup,) = place(job, REGISTRY)
    with pytest.raises(InputError, match=r"operations\[0\]\.profile\.entry: .*circle of 9\.000 mm at .*: no room: "):
        plan_setup(setup, REGISTRY)
