"""Dives as one motion of an operation: travel, approach, dive, lift; raised over bridges last of all."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from attrs import define, evolve, field

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import SAME, Curve
from kerfwright.planning.context import Context
from kerfwright.planning.diving import Dive, dives
from kerfwright.planning.entering import deep, remarks
from kerfwright.planning.faults import told
from kerfwright.planning.feeding import Feeding
from kerfwright.planning.held import Held
from kerfwright.planning.lifts import lifted
from kerfwright.planning.run import Block, Run
from kerfwright.program import Motion, Role

__all__ = ["strung", "traced"]


@define(eq=False)
class _Trace:
    """A motion while it grows."""

    nodes: list[Floats]
    turns: list[Floats] = field(factory=list)
    roles: list[Ints] = field(factory=list)
    feeds: list[Floats] = field(factory=list)
    waste: list[Ints] = field(factory=list)

    def add(self, nodes: Floats, turns: Floats, roles: Ints, feeds: Floats, waste: Ints) -> None:
        self.nodes.append(nodes)
        self.turns.append(turns)
        self.roles.append(roles)
        self.feeds.append(feeds)
        self.waste.append(waste)

    def motion(self) -> Motion:
        return Motion(
            Curve(np.vstack(self.nodes), np.concatenate(self.turns)),
            np.concatenate(self.roles),
            np.concatenate(self.feeds),
            np.concatenate(self.waste),
        )


def traced(context: Context, blocks: Sequence[Block], held: Held, here: Floats | None) -> Motion:
    """One motion from `here` (3,), None for the place over the first dive, through all blocks in order.

    Rapid only across at the travel plane, from there down to the approach plane, and up; the rest at feed, steeper than
    45 degrees down at plunge feed.
    """
    dived: dict[int, list[Dive]] = {}
    plan: list[tuple[Run, int, Floats]] = []
    for block in blocks:
        for run in block.runs:
            if id(run) not in dived:
                with told(context.setup, context.work, "entry", context.nest.label(block.row)):
                    found = dives(run, run.entry, context.top, context.levels)
                dived[id(run)] = [d.mirrored() if context.flip else d for d in found]
            plan += [(run, k, np.array(block.by) * context.sign) for k in range(len(dived[id(run)]))]
    over = _Over.of(context, held, [(dived[id(run)][k].curve, by) for run, k, by in plan])
    raised = [(over.raised(n, (id(run), k), dived[id(run)][k]), by) for n, (run, k, by) in enumerate(plan)]
    feeding = Feeding.of(context, blocks)
    motion = strung(context, raised, here, [feeding.feeds(d, run) for (d, _), (run, _, _) in zip(raised, plan)])
    return evolve(motion, told=(*deep(context), *remarks(context, blocks)))


def strung(
    context: Context,
    placed: Sequence[tuple[Dive, Floats]],
    here: Floats | None,
    feeds: Sequence[Floats] | None = None,
) -> Motion:
    """Dives, each shifted to its place (program frame), as one motion: travel, approach, dive, lift. `feeds` of each, where
    they are not those of a cut that stands alone.
    """
    heights, trace = context.setup.heights, None if here is None else _Trace([here[None]])
    alone = Feeding(context)
    for n, (dive, by) in enumerate(placed):
        fed = alone.feeds(dive) if feeds is None else feeds[n]
        nodes = dive.curve.nodes + [*by, 0.0]
        x, y, z = nodes[0]
        down = np.array([[x, y, heights.travel], [x, y, heights.approach], [x, y, z]])
        if trace is None:
            trace = _Trace([down[:1]])
        if np.abs(trace.nodes[-1][-1] - down[0]).max() < SAME:  # there already
            down = down[1:]
        m = len(down)
        air = [Role.NON_CONTACT, Role.APPROACH, Role.APPROACH]
        roles = np.array(air[-m:], np.int64)
        rates = context.work.rates
        trace.add(down, np.zeros(m), roles, np.array([0.0, 0.0, rates.plunge_feed][-m:]), np.zeros(m, np.int64))
        trace.add(nodes[1:], dive.curve.turns, dive.roles, fed, dive.waste)
        up = np.array([[*nodes[-1, :2], heights.travel]])
        trace.add(up, np.zeros(1), np.array([Role.LIFT], np.int64), np.zeros(1), np.zeros(1, np.int64))
    assert trace is not None  # an operation without ways was refused
    return trace.motion()


@define(eq=False)
class _Over:
    """Lifts of dives, once for congruent dives near congruent bridges."""

    held: Held
    radius: float
    near: list[Ints]
    shifts: list[Floats]
    done: dict[object, Dive]

    @classmethod
    def of(cls, context: Context, held: Held, placed: Sequence[tuple[Curve, Floats]]) -> _Over:
        low = held.take(np.flatnonzero(held.z > context.bottom + 1e-9))
        near = [np.zeros(0, np.int64)] * len(placed)
        if len(low) and placed:
            flank = (low.z - context.bottom) / low.slope
            tree = shapely.STRtree(shapely.box(*(low.boxes(context.radius) + flank[:, None] * [-1, -1, 1, 1]).T))
            bounds: dict[int, Floats] = {}
            boxes = []
            for curve, by in placed:
                if id(curve) not in bounds:
                    bounds[id(curve)] = np.array(curve.bounds)
                boxes.append(bounds[id(curve)] + np.tile(by, 2))
            which, k = tree.query(shapely.box(*np.array(boxes).T))
            cuts = np.searchsorted(which[np.argsort(which, kind="stable")], np.arange(len(placed) + 1))
            k = k[np.lexsort((k, which))]
            near = [k[a:b] for a, b in zip(cuts, cuts[1:])]
        return cls(low, context.radius, near, [by for _, by in placed], {})

    def raised(self, n: int, key: tuple[int, int], dive: Dive) -> Dive:
        """The n-th dive, still where its first copy lies."""
        if not len(self.near[n]):
            return dive
        some = self.held.take(self.near[n]).moved(*-self.shifts[n])
        table = np.column_stack([some.wall, some.out, some.far, some.half, some.z, some.slope])
        order = np.lexsort(np.rint(table[:, :4] * 1e4).T)
        known = (*key, np.rint(np.minimum(table[order], 1e9) * 1e4).tobytes())
        if known not in self.done:
            curve, old = lifted(dive.curve, some.take(order), self.radius)
            self.done[known] = Dive(curve, dive.roles[old], dive.waste[old])
        return self.done[known]
