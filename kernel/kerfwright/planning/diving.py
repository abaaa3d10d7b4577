"""Levels times entry: a run becomes dives, each one way from the top of the material to where the cutter comes up."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.planning.run import Run, turned
from kerfwright.program import Role
from kerfwright.room import Room
from kerfwright.strategy import Entry

__all__ = ["Dive", "dives"]


@define(frozen=True, eq=False)
class Dive:
    """A way in space with role and waste side of each segment."""

    curve: Curve
    roles: Ints
    waste: Ints

    def at_z(self, z: float) -> Dive:
        """The same, level at a height."""
        return Dive(self.curve.at_z(z), self.roles, self.waste)

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
        last = sprung(Dive(cut, roles, waste), run.spring) if z == levels[-1] else Dive(cut, roles, waste)
        some += [Dive(way, np.full(len(way), Role.APPROACH, np.int64), side), last.at_z(z)]
        above = z
    for lap, starts, times in run.laps:
        link, dive = _lap(run.room, lap, times, starts, some[-1].curve.end, top)
        if link is None:
            out.append(_joined(some))
            some = []
        some += [dive] if link is None else [link, dive]
    return [*out, _joined(some)]


def sprung(dive: Dive, times: int) -> Dive:
    """A planar way that goes round its closed lap so many times more: leads are gone once."""
    lap = np.flatnonzero(dive.roles == Role.CONTACT)
    if not times or not len(lap):
        return dive
    a, b = int(lap[0]), int(lap[-1]) + 1
    nodes, turns = dive.curve.nodes, dive.curve.turns
    if np.abs(nodes[a] - nodes[b]).max() > 1e-6 or b - a != len(lap):
        return dive
    again = np.vstack([nodes[a + 1 : b], nodes[a : a + 1]])  # to the last bit as the first time
    every = np.concatenate([np.arange(a), np.tile(np.arange(a, b), times + 1), np.arange(b, len(turns))])
    curve = Curve(np.vstack([nodes[: a + 1], np.tile(again, (times, 1)), nodes[a + 1 :]]), turns[every])
    return Dive(curve, dive.roles[every], dive.waste[every])


def _lap(room: Room, lap: Curve, times: int, starts: Floats, here: Floats, top: float) -> tuple[Dive | None, Dive]:
    """Spring passes along a wall from where the cutter stands, over what is cleared already: a straight link there, if
    the room has one, and the laps; else the laps with a way straight down to them.
    """
    z = float(here[2])
    for s in starts.tolist():
        one = lap.turned_to(s)
        link = Curve.line([here, [*one.start[:2], z]])
        if room.fits(link):
            role = np.full(len(link), Role.CONNECT, np.int64)
            return Dive(link, role, np.zeros(len(link), np.int64)), _laps(one, times).at_z(z)
    dive = _laps(lap.turned_to(float(starts[0])), times).at_z(z)
    down = Curve.line([[*dive.curve.start[:2], top], dive.curve.start])
    way = Dive(down, np.array([Role.APPROACH], np.int64), np.zeros(1, np.int64))
    return None, _joined([way, dive])


def _laps(lap: Curve, times: int) -> Dive:
    one = Dive(lap, np.full(len(lap), Role.CONTACT, np.int64), np.ones(len(lap), np.int64))
    return sprung(one, times - 1)


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
