"""Strategies that do not exist yet, in small: leads, helices, reliefs and trochoids combine with all the rest.

Measured by shapely alone: nothing of the part is cut but where a relief allows it, every wall is reached, bridges hold.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from attrs import define

from kerfwright.curve import EMPTY, Curve
from kerfwright.drawing import Loop
from kerfwright.errors import NoRoom
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.program import Motion, Role
from kerfwright.registry import Registry
from kerfwright.strategy import Corners, Entry, Lead, Slotting

REGISTRY = Registry.load()


def ring(p: Any, angle: float, radius: float) -> Curve:
    """A full circle left of a direction, from p to p."""
    c = p[:2] + radius * np.array([-math.sin(angle), math.cos(angle)])
    r = Curve.circle(*c, radius, start=angle - math.pi / 2)
    return Curve(np.vstack([[*p[:2], 0], r.nodes[1:-1], [*p[:2], 0]]), r.turns)


@define(frozen=True, kw_only=True)
class Quarter(Lead):
    """Quarter circles on the waste side, of 1 mm or 0.3 mm."""

    name = "quarter"

    def lead(self, cut: Curve, room: Any) -> Any:
        (p,), (a,) = cut.at(0)
        q, b = cut.end, cut.at(cut.length)[1][0]
        for r in (1.0, 0.3):
            left = [r * np.array([-math.sin(v), math.cos(v), 0]) for v in (a, b)]
            ahead = [r * np.array([math.cos(v), math.sin(v), 0]) for v in (a, b)]
            go = Curve(np.array([p + left[0] - ahead[0], p]), np.array([math.pi / 2]))
            out = Curve(np.array([q, q + left[1] + ahead[1]]), np.array([math.pi / 2]))
            if room.fits(go) and room.fits(out):
                return go, out
        return EMPTY, EMPTY


@define(frozen=True, kw_only=True)
class Screw(Entry):
    """Down on full circles beside the cut."""

    name = "screw"

    def enter(self, cut: Curve, top: float, bottom: float, room: Any) -> Any:
        (p,), (a,) = cut.at(0)
        for r in (0.8, 0.3):
            turn = ring(p, a, r)
            if room.fits(turn):
                laps = math.ceil((top - bottom) / (2 * math.pi * r * math.tan(math.radians(5))))
                return Curve.join([turn] * laps).at_z(top, bottom), 0.0
        raise NoRoom("no circle fits")


@define(frozen=True, kw_only=True)
class Tips(Corners):
    """Into corners of 95 degrees or less, until the cutter's edge touches the tip."""

    name = "tips"

    def reliefs(self, loop: Curve, radius: float) -> Any:
        d = loop.directions
        bend = (d[:, 0] - np.roll(d[:, 1], 1) + np.pi) % (2 * np.pi) - np.pi
        at = (bend > math.radians(85)) & (bend < math.radians(150))
        half = (np.pi - bend[at]) / 2
        go = d[at, 0] + half + np.pi
        far = (radius / np.sin(half) - radius)[:, None]
        n = loop.nodes[:-1, :2][at]
        return np.column_stack([n, n + far * np.column_stack([np.cos(go), np.sin(go)])])


@define(frozen=True, kw_only=True)
class Circles(Slotting):
    """A full circle on the waste side at every step."""

    name = "circles"

    def slot(self, loop: Curve, room: Any, radius: float, advance: float) -> Curve:
        n = max(2, math.ceil(loop.length / advance))
        s = np.arange(n) * loop.length / n
        p, d = loop.at(s)
        out = []
        for k in range(n):
            step = loop.between(s[k], s[k + 1] if k + 1 < n else loop.length)
            end = p[(k + 1) % n]
            step = Curve(np.vstack([p[k], step.nodes[1:-1], end]), step.turns)
            turn = ring(p[k], float(d[k]), 0.5)
            out += [turn, step] if room.fits(turn) else [step]
        return Curve.join(out)


def seg(motion: Motion, some: Any, radius: float) -> Any:
    """What some segments take, in short open strands: a closed line may get a false hole."""
    c = motion.curve
    edges = np.flatnonzero(np.diff(np.concatenate([[0], some & (c.lengths > 1e-9), [0]])))
    lines = []
    for a, b in edges.reshape(-1, 2).tolist():
        for k in range(a, b, 5):
            e = min(k + 5, b)
            lines.append(Curve(c.nodes[k : e + 1], c.turns[k:e]).path(0.001))
    return shapely.union_all(shapely.buffer(np.array(lines, object), radius, quad_segs=24))


ENTRIES = {"ramp": REGISTRY.strategies["entry", "ramp"](angle=5.0), "screw": Screw()}
CASES = [  # every pair of choices comes together at least once
    ("ramp", None, None, None, "conventional"),
    ("ramp", None, Tips(), Circles(), "climb"),
    ("ramp", Quarter(), None, Circles(), "conventional"),
    ("ramp", Quarter(), Tips(), None, "climb"),
    ("screw", None, None, Circles(), "climb"),
    ("screw", None, Tips(), None, "conventional"),
    ("screw", Quarter(), None, None, "climb"),
    ("screw", Quarter(), Tips(), Circles(), "conventional"),
]


@pytest.mark.parametrize(("entry", "lead", "corners", "slotting", "cutmode"), CASES)
def test_strategies_combine(shop: Any, entry: str, lead: Any, corners: Any, slotting: Any, cutmode: str) -> None:
    """A bracket with a notch, an opening and a hole; twice, 5 mm apart, where that is quick."""
    at = ((40.0, 40.0),) if slotting else ((40.0, 40.0), (95.0, 40.0))
    outline = [[0, 0], [50, 0], [50, 30], [35, 30], [35, 20], [15, 20], [15, 30], [0, 30], [0, 0]]
    part = shop.part("bracket", Loop(Curve.line(outline)), shop.box(6, 5, 24, 10), shop.hole(41, 10, 9), at=at)  # fmt: skip
    bridges = REGISTRY.strategies["bridges", "spacing"](width=0.8, thickness=0.6, spacing=30.0)
    said = {"entry": ENTRIES[entry], "lead": lead, "corners": corners, "slotting": slotting, "cutmode": cutmode, "radial_depth": 0.5}  # fmt: skip
    operations = (
        shop.profile(select=shop.inner, bridges=None, **said),
        shop.profile(select=shop.outer, bridges=bridges, **said),
    )
    (setup,) = place(shop.job(*operations, parts=(part,), sheet=shop.sheet(hold="tape")), REGISTRY)
    (program,) = plan_setup(setup, REGISTRY)
    motions = [m for m in program.steps if isinstance(m, Motion)]
    stays = shapely.union_all(
        [
            shapely.difference(p.loops[0].curve.polygon(), shapely.union_all([v.curve.polygon() for v in p.loops[1:]]))
            for p in setup.pieces
        ]
    )
    everything = [seg(m, np.minimum(m.curve.nodes[:-1, 2], m.curve.nodes[1:, 2]) < -1e-9, 1.0 - 0.004) for m in motions]
    gouged = shapely.get_parts(shapely.intersection(shapely.union_all(everything), stays))
    gouged = gouged[~shapely.is_empty(gouged)]
    allowed = shapely.Polygon()
    if corners:  # inside corners of the notches and openings
        tips = [c for p in setup.pieces for c in _inside_corners(p)]
        assert len(gouged) == 2 * len(tips)  # to either side of each tip
        # a disc of 1 mm through the tip, its center 0.707 off both walls: 0.293 deep, 1.414 along
        allowed = shapely.buffer(shapely.MultiPoint(tips), 1.42) - shapely.buffer(stays, -0.3)
    assert shapely.covers(allowed, gouged).all()
    gone = [
        seg(m, (np.maximum(m.curve.nodes[:-1, 2], m.curve.nodes[1:, 2]) < -2.4 + 1e-9), 1.0 + 0.004) for m in motions
    ]
    waste = shapely.difference(shapely.buffer(stays, 0.5, join_style="mitre"), stays)
    reach = shapely.buffer(shapely.buffer(shapely.box(0, 0, 200, 120) - stays, -1, quad_segs=24), 1, quad_segs=24)
    left = shapely.difference(shapely.intersection(waste, reach), shapely.union_all(gone))
    left = [g for g in shapely.get_parts(shapely.buffer(left, -0.003)) if not g.is_empty]
    assert all(max(g.bounds[2] - g.bounds[0], g.bounds[3] - g.bounds[1]) < 2.8 for g in left)  # under bridges only
    assert 2 <= len(left) <= 40
    _held(setup, motions)
    if lead:
        assert sum(int((m.roles == Role.APPROACH).sum()) for m in motions) > 10


def _inside_corners(piece: Any) -> list[Any]:
    notch, opening = piece.loops[0].curve.nodes[[4, 5], :2], piece.loops[1].curve.nodes[:4, :2]
    return [*notch, *opening]


def _held(setup: Any, motions: list[Motion]) -> None:
    """Below the bridges' top each piece still hangs on the sheet, through waists of 0.8 mm."""
    below = [seg(m, np.minimum(m.curve.nodes[:-1, 2], m.curve.nodes[1:, 2]) < -1.4 - 1e-6, 1.0) for m in motions]
    left = shapely.buffer(shapely.difference(setup.stock, shapely.union_all(below)), -0.39)
    rim = [g for g in shapely.get_parts(left) if shapely.intersects(g, shapely.Point(5, 5))]
    for p in setup.pieces:
        x, y = p.loops[0].curve.nodes[0, :2]
        assert any(shapely.contains(g, shapely.Point(x + 2.5, y + 2.5)) for g in rim)
