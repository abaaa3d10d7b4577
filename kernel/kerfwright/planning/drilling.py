"""Drilling: the same strokes at the center of each circle; or a way around in each that is wider than the cutter."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.operation import Drill
from kerfwright.planning.bridging import Asked
from kerfwright.planning.context import Context
from kerfwright.planning.diving import Dive
from kerfwright.planning.faults import refused, told
from kerfwright.planning.held import Held, Kerf
from kerfwright.planning.tracing import strung
from kerfwright.program import Drilling, Motion, Role
from kerfwright.strategy import Cycle, Route

__all__ = ["Drilled", "drilled"]


@define(frozen=True, eq=False)
class Drilled:
    """Holes (n, 2) of one drill, and its strokes; or the way around (climb frame, about the center) in each of them."""

    context: Context
    operation: Drill
    points: Floats
    strokes: Floats
    ways: tuple[Dive, ...] = ()

    @property
    def kerfs(self) -> list[Kerf]:
        """None: a hole cuts no bridge off that is not drilled away."""
        return []

    @property
    def asked(self) -> list[Asked]:
        """None."""
        return []

    def step(self, held: Held, here: Floats | None) -> Drilling | Motion:
        """All holes in the route's order."""
        c = self.context
        start = np.zeros(2) if here is None else here[:2]
        with told(c.setup, c.work, "route", "the order of the holes"):
            order = c.of(Route)(self.points, self.points, np.zeros((0, 2), np.int64), start)
        heights = c.setup.heights
        if self.ways:
            return strung(c, [(self.ways[k], self.points[k]) for k in order], here)
        return Drilling(self.points[order], heights.travel, heights.approach, self.strokes, c.work.rates.plunge_feed)


def drilled(context: Context) -> Drilled:
    """A through hole has its full diameter down to the floor: the point goes deeper. Another depth is the point's."""
    op = context.operation
    assert isinstance(op, Drill)
    points, wider = [], []
    for row in context.rows():
        circle = context.nest.loops[row].circle
        if circle is None:
            raise refused(
                context.setup, context.work, f"{context.nest.label(row)}: no circle, nothing to drill", "select"
            )
        points.append((circle.x, circle.y))
        wider.append(circle.diameter / 2 - context.radius)
    bottom = context.bottom - (op.cutter.point_length if op.depth is None else 0.0)
    if context.of(Cycle).wide:
        return Drilled(context, op, np.array(points), np.zeros((0, 4)), _ways(context, wider))
    with told(context.setup, context.work, "cycle", f"a hole to Z {bottom:.3f}"):
        strokes = context.of(Cycle)(context.setup.heights.approach, bottom)
    return Drilled(context, op, np.array(points), strokes)


def _ways(context: Context, wider: list[float]) -> tuple[Dive, ...]:
    """The way around in each hole, once for all that are alike."""
    made: dict[float, Dive] = {}
    wider = [round(by, 6) for by in wider]
    for row, by in zip(context.rows(), wider, strict=True):
        if by in made:
            continue
        with told(context.setup, context.work, "cycle", context.nest.label(row)):
            axial = context.work.rates.axial_depth
            way = context.of(Cycle).bored(by, context.radius, context.top, context.bottom, axial)
        falls = np.diff(way.nodes[:, 2]) < -1e-9
        roles = np.where(falls, Role.APPROACH, Role.CONTACT).astype(np.int64)
        dive = Dive(way, roles, np.ones(len(way), np.int64))
        made[by] = dive.mirrored() if context.flip else dive
    return tuple(made[by] for by in wider)
