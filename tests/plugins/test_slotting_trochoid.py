"""Kerfs in loops: how much of the edge is engaged is measured here, point by point along the way, with shapely alone."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.room import Room
from kerfwright.testing import all_of_them, instance_of
from kerfwright.testing.trials import job_of, tried
from kerfwright_plugins.slotting._engaged import engagement, straight
from kerfwright_plugins.slotting.trochoid import Trochoid

REGISTRY = kw.Registry.load()

R = 1.0
EDGE = np.radians(np.arange(-90, 91))
"""The leading half of the edge, a place a degree."""


def engaged(way: Curve, every: float, begin: float) -> tuple[np.ndarray, np.ndarray]:
    """Lengths along a way, and how many degrees of the leading half of the edge there lie outside of all that the cutter has
    swept in the last 30 mm.
    """
    flat = way.flat(2e-5)[0][:, :2]
    so_far = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(flat, axis=0).T))])
    s = np.arange(begin, way.length, every)
    places, directions = way.at(s)
    out = []
    for at, p, a in zip(s, places[:, :2], directions, strict=True):
        i, j = np.searchsorted(so_far, [at - 30.0, at])
        behind = shapely.linestrings(np.vstack([flat[max(i - 1, 0) : j], p]))
        edge = p + R * np.column_stack([np.cos(a + EDGE), np.sin(a + EDGE)])
        shapely.prepare(behind)
        out.append(int((~shapely.dwithin(behind, shapely.points(edge), R - 2e-4)).sum()))
    return s, np.array(out)


LINE = Curve.line([[0, 0], [14, 0]])
CONCAVE = Curve(np.array([[0, 0, 0], [8, 0, 0], [10, 2, 0.0], [10, 9, 0]]), np.array([0, np.pi / 2, 0]))
CONVEX = Curve(np.array([[0, 0, 0], [0, 8, 0], [1, 9, 0.0], [8, 9, 0]]), np.array([0, -np.pi / 2, 0]))
INTO = Curve.line([[0, 0], [9, 0], [9, 9]])
WAYS = {
    # name: (outline of the center, room, corner that the cutter must enter, degrees)
    "line": (LINE, shapely.box(-5, 0, 20, 9), 0),
    "inside an arc": (CONCAVE, shapely.box(-5, 0, 10, 14).difference(shapely.box(8, 0, 10, 2)).union(shapely.Point(8, 2).buffer(2, 64)), 0),
    "around an arc": (CONVEX, shapely.box(-9, -5, 14, 20).difference(shapely.union_all([shapely.box(1, -5, 14, 9), shapely.box(0, -5, 14, 8), shapely.Point(1, 8).buffer(1, 64)])), 0),
    "into a corner": (INTO, shapely.box(-5, 0, 9, 14), 90),
}  # fmt: skip


@pytest.mark.parametrize("depth", [0.5, 1.2])
@pytest.mark.parametrize("name", WAYS)
def test_the_engagement_is_never_above_its_bound(name: str, depth: float) -> None:
    """The bound is that of a straight cut: cos of it is 1 - depth / R. In a corner of the way the wall ahead adds its own angle
    to nothing, whatever the loops: there the corner's angle is the least that any way has. The first loop is a full slot.
    """
    loop, room, corner = WAYS[name]
    way = Trochoid().slot(loop, Room(room, radius=R), R, depth)
    first = 2 * math.pi * 0.6 * 1.5
    _, angle = engaged(way, 0.3, first)
    bound = max(math.degrees(math.acos(1 - depth / R)), corner)
    assert len(angle) > 100
    crumb = 10 if corner else 3  # what no loop reaches in the corner; places a degree apart, chords
    assert angle.max() <= bound + crumb
    assert angle.max() > 0.8 * math.degrees(math.acos(1 - depth / R))  # and not far below: no loop more than it takes


def test_a_straight_cut_of_full_width_would_be_above_it() -> None:
    assert engaged(LINE, 0.5, 1.0)[1].min() >= 179


def test_all_of_the_outline_is_cut_and_the_kerf_is_as_wide_as_asked() -> None:
    way = Trochoid(width=3.4).slot(LINE, Room(WAYS["line"][1], radius=R), R, 0.6)
    swept = shapely.union_all(shapely.buffer(way.paths(0.0005), R, quad_segs=32))
    assert shapely.covers(swept, LINE.path().buffer(R - 0.001))
    assert swept.bounds[:2] == pytest.approx((-1.7, -1.0), abs=0.01)  # the first loop of 0.7 mm and R
    assert swept.bounds[3] == pytest.approx(2.4, abs=0.01)  # 3.4 mm wide
    assert {(0.0, 0.0), (14.0, 0.0)} <= {(round(x, 6), round(y, 6)) for x, y, _ in way.nodes.tolist()}


def test_beside_a_disc_by_hand() -> None:
    """Ahead of the cleared disc by p on a loop of radius a, straight ahead: cos of the angle is
    (R1^2 - d^2 - r^2) / (2 d r) with d = a + p, R1 = a + r: for a = r = 1, p = 0.5: (4 - 2.25 - 1) / 3 = 0.25, 75.52 degrees,
    if nothing else on the loop is more. Far from any wall of the disc it is the straight cut's.
    """
    assert math.degrees(engagement(np.array([0.5, 0.0]), 1.0, 2.0, 1.0)) >= 75.5
    assert engagement(np.array([0.5, 0.0]), 1000.0, 1001.0, 1.0) == pytest.approx(straight(0.5, 1.0), abs=0.01)
    assert engagement(np.array([0.0, 0.0]), 1.0, 2.0, 1.0) == pytest.approx(0.0, abs=1e-3)


def test_no_room_for_any_loop() -> None:
    with pytest.raises(NoRoom, match=r"no loop of 0.3 mm fits beside it"):
        Trochoid().slot(LINE, Room(shapely.box(0, 0, 14, 0.1), radius=R), R, 0.5)
    with pytest.raises(NoRoom, match=r"a kerf of 2.1 mm, allowed: 2.3 mm or more with this cutter"):
        Trochoid(width=2.1).slot(LINE, Room(WAYS["line"][1], radius=R), R, 0.5)


@pytest.mark.parametrize(
    "specimen",
    [s for s in all_of_them() if s.name not in ("plate", "islands", "gear", "comb")],  # these: tests/bench/pairs.py
    ids=lambda s: s.name,
)
def test_specimens_come_out_clean(specimen: kw.testing.Specimen) -> None:  # type: ignore[name-defined]
    outcome = tried(job_of(specimen, "profile", [instance_of(Trochoid)]), REGISTRY)
    assert (outcome.verdict, outcome.reason) == ("clean", "")


JOB = """
job: strip
machine: light-router
sheet: {material: cfrp, size: [90, 60], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2, teeth: 2, flute_length: 8}
parts:
  - name: strip
    at: [15, 15]
    shapes:
      - rectangle: {corner: [0, 0], size: [40, 20], radius: 2}
      - slot: {from: [10, 10], to: [30, 10], width: WIDE}
operations:
  - profile: {cutter: mill, select: inner, slotting: trochoid, radial_depth: 0.4, feed: 400}
  - profile: {cutter: mill, select: outer, slotting: trochoid, radial_depth: 0.4, feed: 400}
"""


def test_where_there_is_no_room_the_full_kerf_is_cut_and_told() -> None:
    """A slot of 2.2 mm leaves the center of a 2 mm cutter 0.2 mm: no loop fits, beside the outline it does."""
    result = kw.make(kw.load_job("strip.yaml", REGISTRY, text=JOB.replace("WIDE", "2.2")), REGISTRY)
    assert result.ok
    told = [f.message for f in result.findings if f.check == "plan"]
    assert any("the full kerf is cut: no loop of 0.3 mm fits beside it" in text for text in told), told


def test_the_feed_counts_at_the_edge() -> None:
    """Loops of radius 0.6 with a cutter of radius 1: the center goes at 0.6 / 1.6 of 400, that is 150 mm/min; rounded down."""
    result = kw.make(kw.load_job("strip.yaml", REGISTRY, text=JOB.replace("WIDE", "6")), REGISTRY)
    assert result.ok
    (program,) = [p for p in result.programs if p.kind == "program"]
    assert program.moves is not None
    loops = np.isclose(np.abs(program.moves.curve.turns), math.pi) & np.isclose(
        program.moves.curve.radii, 0.6, atol=0.002
    )
    assert loops.sum() > 100
    assert set(np.round(program.moves.feeds[loops]).tolist()) <= {
        150.0,
        149.0,
        75.0,
    }  # 75: the first loop is a full slot
    assert np.median(program.moves.feeds[loops]) >= 149
