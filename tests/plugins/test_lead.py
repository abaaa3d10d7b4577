"""Leads: on the waste side, inside the room, smaller where it is narrow, and told where there is none."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.program import Motion
from kerfwright.room import Room
from kerfwright.strategy import Lead
from kerfwright_plugins.lead.angle import Angle
from kerfwright_plugins.lead.none import NoLead
from kerfwright_plugins.lead.tangent import Tangent

REGISTRY = kw.Registry.load()

LEADS = [Tangent(), Tangent(radius=3), Angle(), Angle(angle=90, length=0.5), Angle(angle=10, length=4)]


def test_none_is_no_way_at_all() -> None:
    into, out = NoLead()(Curve.circle(0, 0, 5), Room(shapely.box(-9, -9, 9, 9)))
    assert (len(into), len(out)) == (0, 0)


@pytest.mark.parametrize("lead", LEADS, ids=repr)
def test_leads_stay_off_the_wall_and_in_the_room(shape: shapely.Polygon, lead: Lead) -> None:
    """From twelve places of every way: the room by shapely, not by `Room`; directions by the way itself."""
    around = shapely.orient_polygons(shapely.buffer(shape, 20).difference(offset(shape, 1.0)))
    room, asked = Room(around), 0
    for loop in recover(rings_of(around)):
        for s in np.linspace(0, loop.length, 12, endpoint=False).tolist():
            cut = loop.turned_to(s + 0.01)
            before = cut.nodes.tobytes()
            try:
                into, out = lead(cut, room)
            except NoRoom:
                continue
            asked += 1
            assert cut.nodes.tobytes() == before
            for way in (into, out):
                assert shapely.covers(shapely.buffer(around, 0.006), way.path())
                assert way.nodes[:, 2].tolist() == [0, 0]
            p, d = cut.at(0.0)
            left = np.array([-math.sin(d[0]), math.cos(d[0])])
            assert (into.start[:2] - p[0, :2]) @ left > 0  # waste lies on the left
            assert (out.end[:2] - cut.end[:2]) @ np.array([-math.sin(b := cut.directions[-1, 1]), math.cos(b)]) > 0
            bend = (d[0] - into.directions[-1, 1] + math.pi) % (2 * math.pi) - math.pi
            assert bend == pytest.approx(math.radians(lead.angle) if isinstance(lead, Angle) else 0.0, abs=1e-9)
    assert asked > 6


def test_a_quarter_circle_in_numbers() -> None:
    """Cut along X from (0, 0) to (10, 0), radius 2: begins at (-2, 2), ends at (12, 2), both arcs about (…, 2)."""
    into, out = Tangent(radius=2)(Curve.line([[0, 0], [10, 0]]), Room(shapely.box(-9, -1, 19, 9)))
    assert into.start == pytest.approx([-2, 2, 0])
    assert out.end == pytest.approx([12, 2, 0])
    assert [*into.radii, *out.radii] == pytest.approx([2, 2])
    assert into.centers[0] == pytest.approx([0, 2])
    assert out.centers[0] == pytest.approx([10, 2])


def test_a_straight_in_numbers() -> None:
    """30 degrees, 2 mm long: 1.732 before and 1 beside."""
    into, out = Angle(angle=30, length=2)(Curve.line([[0, 0], [10, 0]]), Room(shapely.box(-9, -1, 19, 9)))
    assert into.start == pytest.approx([-math.sqrt(3), 1, 0])
    assert out.end == pytest.approx([10 + math.sqrt(3), 1, 0])


@pytest.mark.parametrize(("high", "most", "least"), [(1.5, 1.5, 1.0), (0.5, 0.5, 0.35), (0.15, 0.15, 0.1)])
def test_smaller_where_it_is_narrow(high: float, most: float, least: float) -> None:
    """A room `high` mm wide beside the cut takes a quarter circle no larger, and none much smaller than it must be."""
    into, out = Tangent(radius=2)(Curve.line([[0, 0], [10, 0]]), Room(shapely.box(-9, 0, 19, high)))
    assert least <= into.radii[0] <= most + 0.005
    assert out.radii[0] == pytest.approx(into.radii[0])


@pytest.mark.parametrize(
    ("lead", "message"),
    [
        (Tangent(radius=2), "no quarter circle of 2 mm fits beside the wall, nor a smaller one down to 0.1 mm"),
        (Angle(length=0.05), "no straight of 0.05 mm fits beside the wall, nor a smaller one down to 0.05 mm"),
    ],
)
def test_where_there_is_no_room(lead: Lead, message: str) -> None:
    with pytest.raises(NoRoom) as told:
        lead(Curve.line([[0, 0], [10, 0]]), Room(shapely.box(-9, -1, 19, 0.01)))
    assert str(told.value) == message


JOB = """
job: bracket
machine: light-router
sheet: {material: gfrp, size: [200, 120], thickness: 2, breakthrough: 0.4, board: 12, hold: %s}
cutters: {mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
parts: [{name: bracket, at: %s, shapes: [%s]}]
operations:
%s
"""


def made(shapes: str, at: str, operations: list[str], hold: str = "tape") -> tuple[Any, Any]:
    result = kw.make(
        kw.load_job("-", REGISTRY, text=JOB % (hold, at, shapes, "\n".join(f"  - {one}" for one in operations))),
        REGISTRY,
    )
    assert result.ok, [f.message for f in result.findings if f.severity == "error"]
    return result, [f for f in result.findings if f.severity == "note" and "lead" in f.message]


BOX = "rectangle: {corner: [0, 0], size: [40, 30]}"


@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
@pytest.mark.parametrize("lead", ["{tangent: {radius: 1.5}}", "{angle: {angle: 45, length: 2}}"])
def test_through_the_whole_way(lead: str, cutmode: str) -> None:
    """A bracket with an opening, twice, 4 mm apart: proved, and the way to the wall is there."""
    said = f"cutter: mill, cutmode: {cutmode}, lead: {lead}"
    shapes = f"{BOX}}}, {{circle: {{center: [10, 10], diameter: 9}}}}, {{rectangle: {{corner: [20, 8], size: [12, 12]}}"
    job = [f"profile: {{{said}, select: inner}}", f"profile: {{{said}, select: outer}}"]
    result, notes = made("{" + shapes + "}", "[[20, 20], [64, 20]]", job)
    assert not notes
    assert max(p.worst_gouge_mm for p in result.parts) <= 0.005
    assert max(p.worst_leftover_mm for p in result.parts) <= 0.005
    plain, _ = made("{" + shapes + "}", "[[20, 20], [64, 20]]", [one.replace(lead, "none") for one in job])
    assert result.programs[0].cut_length_mm > plain.programs[0].cut_length_mm + 6 * 2


def test_no_room_at_all_is_a_note() -> None:
    """A slot hardly wider than the cutter: nothing beside the way, so the cut begins on it, and that is told."""
    slot = "{slot: {from: [8, 15], to: [30, 15], width: 2.05}}"
    said = "cutter: mill, lead: {tangent: {radius: 1}}"
    result, notes = made(f"{{{BOX}}}, {slot}", "[[20, 20], [90, 20]]", [f"profile: {{{said}, select: all}}"])
    assert [f.severity for f in notes] == ["note"]
    text = "outline of 24.050 x 2.050 mm at (26.975, 33.975) and 1 more: no lead, the cut begins and ends on the wall: "
    assert text in notes[0].message
    assert notes[0].program == result.programs[0].file
    (motion,) = [s for s in result.programs[0].program.steps if isinstance(s, Motion)]
    assert len(motion.told) == 1


def test_never_across_a_neighbour() -> None:
    """Copies side by side, 2.1 mm apart for a 2 mm cutter: leads turn to where there is room."""
    at = str([[20 + 42.1 * i, 20 + 32.1 * j] for i in range(3) for j in range(2)])
    result, _ = made(f"{{{BOX}}}", at, ["profile: {cutter: mill, lead: {tangent: {radius: 3}}}"])
    assert max(p.worst_gouge_mm for p in result.parts) <= 0.005
