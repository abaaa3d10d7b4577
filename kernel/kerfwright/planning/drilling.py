"""Drilling: the same strokes at the center of each circle."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.operation import Drill
from kerfwright.planning.bridging import Asked
from kerfwright.planning.context import Context
from kerfwright.planning.faults import refused, told
from kerfwright.planning.held import Held, Kerf
from kerfwright.program import Drilling
from kerfwright.strategy import Cycle, Route

__all__ = ["Drilled", "drilled"]


@define(frozen=True, eq=False)
class Drilled:
    """Holes (n, 2) of one drill, and its strokes."""

    context: Context
    operation: Drill
    points: Floats
    strokes: Floats

    @property
    def kerfs(self) -> list[Kerf]:
        """None: a hole cuts no bridge off that is not drilled away."""
        return []

    @property
    def asked(self) -> list[Asked]:
        """None."""
        return []

    def step(self, held: Held, here: Floats | None) -> Drilling:
        """All holes in the route's order."""
        c = self.context
        start = np.zeros(2) if here is None else here[:2]
        with told(c.setup, c.work, "route", "the order of the holes"):
            order = c.of(Route)(self.points, self.points, np.zeros((0, 2), np.int64), start)
        heights = c.setup.heights
        return Drilling(self.points[order], heights.travel, heights.approach, self.strokes, c.work.rates.plunge_feed)


def drilled(context: Context) -> Drilled:
    """A through hole has its full diameter down to the floor: the point goes deeper. Another depth is the point's."""
    op = context.operation
    assert isinstance(op, Drill)
    points = []
    for row in context.rows():
        circle = context.nest.loops[row].circle
        if circle is None:
            raise refused(
                context.setup, context.work, f"{context.nest.label(row)}: no circle, nothing to drill", "select"
            )
        points.append((circle.x, circle.y))
    bottom = context.bottom - (op.cutter.point_length if op.depth is None else 0.0)
    with told(context.setup, context.work, "cycle", f"a hole to Z {bottom:.3f}"):
        strokes = context.of(Cycle)(context.setup.heights.approach, bottom)
    return Drilled(context, op, np.array(points), strokes)
