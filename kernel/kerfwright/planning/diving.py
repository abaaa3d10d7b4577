"""Levels times entry: a run becomes dives, each one way from the top of the material to where the cutter comes up."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.planning.run import Run, turned
from kerfwright.program import Role
from kerfwright.strategy import Entry

__all__ = ["Dive", "dives"]


@define(frozen=True, eq=False)
class Dive:
    """A way in space with role and waste side of each segment."""

    curve: Curve
    roles: Ints
    waste: Ints

    def mirrored(self) -> Dive:
        """Back from the climb frame of a conventional cut."""
        return Dive(self.curve.mirrored(), self.roles, -self.waste)


def dives(run: Run, entry: Entry, top: float, levels: Floats) -> list[Dive]:
    """Way down, cut, way down, cut: joined while ends meet exactly, so that a closed cut is left once."""
    out: list[Dive] = []
    cut, roles, waste, above = run.curve, run.roles, run.waste, top
    some: list[Dive] = []
    for z in levels.tolist():
        way, at = entry(cut, above, z, run.room)
        if some and np.abs(some[-1].curve.end - way.start).max() > 1e-6:
            out.append(_joined(some))
            some = []
        side = _waste(way, cut, waste)
        if at:
            cut, (roles, waste) = turned(cut, at, roles, waste)
        if len(way):  # to the last bit: what follows begins there
            way = Curve(np.vstack([way.nodes[:-1], [*cut.start[:2], z]]), way.turns)
        some += [Dive(way, np.full(len(way), Role.APPROACH, np.int64), side), Dive(cut.at_z(z), roles, waste)]
        above = z
    return [*out, _joined(some)]


def _joined(some: list[Dive]) -> Dive:
    return Dive(
        Curve.join([d.curve for d in some]),
        np.concatenate([d.roles for d in some if len(d.curve)]),
        np.concatenate([d.waste for d in some if len(d.curve)]),
    )


def _waste(way: Curve, cut: Curve, waste: Ints) -> Ints:
    """Waste side of each segment of a way down. Only arcs need one: an arc that follows the cut has the cut's, turned
    round where it runs the other way."""
    out = np.zeros(len(way), np.int64)
    arcs, of = np.flatnonzero(way.turns), np.flatnonzero(cut.turns)
    if not len(arcs) or not len(of):
        return out
    apart = np.abs(way.centers[arcs, None] - cut.centers[None, of]).max(2)
    apart += np.abs(way.radii[arcs, None] - cut.radii[None, of])
    k = np.argmin(apart, axis=1)
    same = apart[np.arange(len(arcs)), k] < 1e-4
    back = np.sign(way.turns[arcs]) * np.sign(cut.turns[of[k]])
    out[arcs[same]] = (waste[of[k]] * back)[same].astype(np.int64)
    return out
