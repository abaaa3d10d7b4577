"""Pieces at the sheet's edge: what is cut off there, what of it is held, and bridges with nothing behind them."""

from __future__ import annotations

import re
from collections.abc import Sequence

import attrs
import pytest
import shapely

import kerfwright as kw
from kerfwright.operation import Profile
from kerfwright.proof import prove, reading_of
from kerfwright.strategy import Bridges

SAID = Bridges(width=1.0, thickness=0.5)
SCREW = (shapely.Point(112, 20).buffer(3), 4.0)
"""It stands beside the piece, near the right end of the sheet."""


def lifted(hand, corners, places, z=-2.4, top=-1.5):
    """Once around a rectangle's way; at each place (leg, middle) the cutter rises over 3 mm for a bridge."""
    hand.down(*corners[0], z)
    for k, (a, b) in enumerate(zip(corners, [*corners[1:], corners[0]])):
        length = abs(b[0] - a[0]) + abs(b[1] - a[1])
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        for leg, middle in places:
            if leg == k:
                for along, height in ((-1.5, top), (1.5, z)):
                    s = middle + along
                    hand.move(600, a[0] + ux * s, a[1] + uy * s).move(100, z=height)
        hand.move(600, *b)
    return hand.rapid(z=8.0)


FRONT, RIGHT, BACK, LEFT = range(4)
AIR = [(FRONT, 30.0), (BACK, 30.0)]
SHEET = [(RIGHT, 12.0), (RIGHT, 30.0)]


def flush(bench, rectangle, hold, width, keepouts=(), size=(120.0, 40.0), bridges: Bridges | None = SAID):
    """A piece `width` x 40 that begins at the left edge of a sheet 40 deep: only its right side is inside the sheet."""
    setup = bench.setup(
        [rectangle(0, 0, width, 40)], [(Profile(cutter=bench.mill), [0])], hold=hold, bridges=bridges, keepouts=keepouts
    )
    return attrs.evolve(setup, stock=shapely.box(0, 0, *size))


def way(bench, width, places: Sequence[tuple[int, float]]):
    corners = [(-1.0, -1.0), (width + 1.0, -1.0), (width + 1.0, 41.0), (-1.0, 41.0)]
    return lifted(bench.Hand().opening(), corners, places).closing()


def loose(proof) -> list[float]:
    told = [f for f in proof.findings if f.check == "loose" and f.severity == "error"]
    return sorted(float(re.search(r"([0-9.]+) mm2", f.message)[1]) for f in told)


def near(areas):
    """The sweeps are grown by 0.002 mm: along 320 mm that is 0.6 mm2."""
    return pytest.approx(areas, abs=1)


# piece's width, hold, screws, where the bridges stand -> area (mm2) of all that is loose, what holds the piece
# sheet 120 x 40, cutter 2: a piece of 80 x 40 = 3200 leaves 38 x 40 = 1520 beside it, one of 40 x 40 = 1600 leaves 78 x 40
CUT_OFF = {
    "the larger part is the piece, the screw beside it": (80.0, "screws", (SCREW,), AIR, [3200], "nothing"),
    "the smaller part is the piece, the screw beside it": (40.0, "screws", (SCREW,), AIR, [1600], "nothing"),
    "the larger part is the piece, no screw named": (80.0, "screws", (), AIR, [3200], "nothing"),
    "the larger part is the piece, one bridge behind": (80.0, "screws", (SCREW,), [SHEET[0], AIR[0]], [], "1 bridge"),
    "joined by bridges to the sheet": (80.0, "screws", (SCREW,), SHEET, [], "2 bridges"),
    "joined by bridges, no screw named": (80.0, "screws", (), SHEET, [], "2 bridges"),
    "in a frame": (80.0, "frame", (), AIR, [3200], "nothing"),
    "in a frame, joined by bridges": (80.0, "frame", (), SHEET, [], "2 bridges"),
    "on tape": (80.0, "tape", (), AIR, [], "tape"),
    "on vacuum, the smaller part": (40.0, "vacuum", (), AIR, [], "vacuum"),
    "on tape, joined by bridges": (80.0, "tape", (), SHEET, [], "2 bridges"),
    "on tape, one bridge behind": (80.0, "tape", (), [SHEET[0], AIR[0]], [], "1 bridge"),
    "a screw in the piece only": (
        80.0, "screws", ((shapely.Point(40, 20).buffer(3), 4.0),), AIR, [1520], "keepout"
    ),
    "a clamp over the piece's edge, and a screw": (
        80.0, "screws", ((shapely.box(-5, 10, 5, 14), 4.0), SCREW), [], [], "keepout"
    ),
    "the whole sheet is the piece": (120.0, "screws", (), AIR, [4800], "nothing"),
}  # fmt: skip


@pytest.mark.parametrize(("width", "hold", "keepouts", "places", "areas", "held"), CUT_OFF.values(), ids=list(CUT_OFF))
def test_what_is_cut_off_at_the_edge(bench, rectangle, width, hold, keepouts, places, areas, held):
    proof = bench.prove(flush(bench, rectangle, hold, width, keepouts), way(bench, width, places))
    assert loose(proof) == near(areas)
    assert proof.parts[0].held_by == held


@pytest.mark.parametrize(
    ("hold", "places", "told"),
    [
        ("screws", SHEET, []),
        ("screws", [SHEET[0], AIR[0]], ["1 bridges stand on an outline that must have two or more"]),
        ("screws", AIR, ["0 bridges stand on an outline that must have two or more"]),
        ("tape", AIR, []),
    ],
)
def test_a_bridge_with_nothing_behind_it_holds_nothing(bench, rectangle, hold, places, told):
    proof = bench.prove(flush(bench, rectangle, hold, 80.0), way(bench, 80.0, places))
    assert [f.message.split(": ")[1] for f in proof.findings if f.check == "bridge"] == told


def test_a_piece_near_the_edge_keeps_a_stub_and_is_loose(bench, rectangle):
    """1.5 mm of sheet between piece and edge, a kerf of 2 mm: of a bridge only a stub is left, which links to nothing."""
    setup = bench.setup([rectangle(1.5, 10, 90, 30)], [(Profile(cutter=bench.mill), [0])], hold="screws", bridges=SAID)
    setup = attrs.evolve(setup, stock=shapely.box(0, 0, 120, 40), keepouts=(SCREW,))
    corners = [(0.5, 9.0), (91.0, 9.0), (91.0, 31.0), (0.5, 31.0)]
    proof = bench.prove(setup, lifted(bench.Hand().opening(), corners, [(LEFT, 6.0), (LEFT, 14.0)]).closing())
    (area,) = loose(proof)
    assert 1770 <= area <= 1776  # 88.5 x 20 and two stubs of about 1.5 x 1
    assert proof.parts[0].held_by == "nothing"


ACROSS = [(59.0, -3.0), (59.0, 43.0)]
"""A way of the cutter across the sheet, left of the piece: it parts the sheet in two that are both more than pieces."""


@pytest.mark.parametrize(
    ("hold", "keepouts", "areas"),
    [
        # 58 x 40 = 2320 on the left, 60 x 40 = 2400 with the bridged piece on the right
        ("screws", (), [2320]),
        ("screws", (SCREW,), [2320]),
        ("screws", ((shapely.Point(10, 20).buffer(3), 4.0),), ["right"]),
        ("screws", ((shapely.Point(10, 20).buffer(3), 4.0), SCREW), []),
        ("screws", ((shapely.box(-20, 0, -9, 9), 4.0),), [2320]),  # a fence beside the sheet is no screw in it
        ("frame", (), []),  # each reaches the front and the back of the frame
        ("tape", (), []),
    ],
)
def test_a_sheet_cut_in_two(bench, rectangle, hold, keepouts, areas):
    setup = bench.setup([rectangle(70, 10, 90, 30)], [(Profile(cutter=bench.mill), [0])], hold=hold, bridges=SAID)
    setup = attrs.evolve(setup, stock=shapely.box(0, 0, 120, 40), keepouts=keepouts)
    corners = [(69.0, 9.0), (91.0, 9.0), (91.0, 31.0), (69.0, 31.0)]
    hand = lifted(bench.Hand().opening(), corners, [(FRONT, 11.0), (BACK, 11.0)])
    proof = bench.prove(setup, hand.down(*ACROSS[0], -2.4).move(600, *ACROSS[1]).closing())
    found = loose(proof)
    if areas == ["right"]:
        (area,) = found
        assert 2300 <= area <= 2400  # the kerf around the piece is gone from it
    else:
        assert found == near(areas)
    assert proof.parts[0].held_by == "2 bridges" or areas == ["right"]


def test_a_frame_holds_no_strip_that_reaches_one_side_only(bench, rectangle):
    """A corner of 20 x 20 cut off: it reaches the left and the front side, and neither's opposite."""
    setup = bench.setup([rectangle(40, 10, 60, 30)], [(Profile(cutter=bench.mill), [0])], hold="frame", bridges=SAID)
    corners = [(39.0, 9.0), (61.0, 9.0), (61.0, 31.0), (39.0, 31.0)]
    hand = lifted(bench.Hand().opening(), corners, [(FRONT, 11.0), (BACK, 11.0)])
    hand.down(21, -3, -2.4).move(600, 21, 21).move(600, -3, 21)
    assert loose(bench.prove(setup, hand.closing())) == near([400])


def test_a_plate_whose_outline_is_not_cut_is_the_sheet(bench, rectangle):
    """A bore at the very edge of a plate that was cut before: it is held as the sheet that it is."""
    setup = bench.setup(
        [rectangle(0, 0, 120, 40), rectangle(1.5, 10, 11.5, 20)], [(Profile(cutter=bench.mill), [1])], hold="screws"
    )
    setup = attrs.evolve(setup, stock=shapely.box(2, 0, 120, 40))
    hand = bench.Hand().opening().down(2.5, 11, -2.4).lap([(2.5, 11.0), (10.5, 11.0), (10.5, 19.0), (2.5, 19.0)])
    proof = bench.prove(setup, hand.rapid(z=8.0).closing())
    assert loose(proof) == near([36])  # the slug of 8 x 8 inside the way of the cutter, 1 mm off each side
    assert proof.parts[0].held_by == "the sheet"


JOB = """\
job: edge
machine: light-router
sheet: {{material: plywood, size: [100, 40], thickness: 3, breakthrough: 0.3, board: 12, hold: tape, keepout: [{{circle: {{center: [92, 20], diameter: 8}}, height: 3}}]}}
cutters: {{m: {{form: end_mill, flutes: up, diameter: 3, teeth: 2, flute_length: 12}}}}
parts: [{{name: p, at: [{at}], shapes: [{{path: "{path}"}}]}}]
operations: [{{profile: {{cutter: m, select: outer, bridges: {{width: 1, thickness: 1, spacing: {spacing}}}}}}}]
"""
SAW = "M0 0 L60 0 L58 5 L60 10 L58 15 L60 20 L58 25 L60 30 L58 35 L60 40 L0 40 Z"
PLAIN = "M0 0 H60 V{} H0 Z"
PLANNED = {
    # the teeth leave no straight for a bridge on the right, where the sheet goes on: 60 x 40 less four hollows of 10
    "teeth at the right": ("0, 0", SAW, 120, {"loose", "bridge"}, "nothing"),
    "one of two bridges in the air": ("0, 0", PLAIN.format(40), 110, {"bridge"}, "1 bridge"),
    # the cutter's way is 160 + 3 pi = 169.4: bridges no more than 60 apart are three
    "sheet all around": ("10, 10", PLAIN.format(20), 60, set(), "3 bridges"),
}


@pytest.mark.parametrize(("at", "path", "spacing", "told", "held"), PLANNED.values(), ids=list(PLANNED))
def test_a_planned_program_asked_again_under_screws(at, path, spacing, told, held):
    """Made under tape, where the edge is the user's business, and proved as if screws were to hold the sheet."""
    registry = kw.Registry.load()
    result = kw.make(kw.load_job("edge.yaml", registry, text=JOB.format(at=at, path=path, spacing=spacing)), registry)
    assert result.ok
    (setup,) = result.setups
    setup = attrs.evolve(setup, job=attrs.evolve(setup.job, sheet=attrs.evolve(setup.job.sheet, hold="screws")))
    readings = [reading_of(p.file, p.kind, p.text, p.dialect, result.job, registry) for p in result.programs]
    proof = prove(setup, readings, registry)
    assert {f.check for f in proof.findings if f.severity == "error"} == told
    assert loose(proof) == pytest.approx(
        [2360] * ("loose" in told), abs=8
    )  # the cutter does not reach into the hollows
    assert proof.parts[0].held_by == held
