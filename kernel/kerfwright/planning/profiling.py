"""Profiles: ways along outlines, their bridges, and where they start. Outlines of one shape are planned once."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np
import shapely
from attrs import define, evolve

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset
from kerfwright.operation import Profile
from kerfwright.planning.bridging import Ask, Asked, asking, widening
from kerfwright.planning.congruence import Alike, alike, shape_of
from kerfwright.planning.context import Context
from kerfwright.planning.cutting import cut
from kerfwright.planning.declaring import declared, here
from kerfwright.planning.entering import entered
from kerfwright.planning.faults import refused, told
from kerfwright.planning.held import Held, Kerf
from kerfwright.planning.reliefs import reliefs, spliced
from kerfwright.planning.run import Block, Run
from kerfwright.planning.starts import begun, between, candidates
from kerfwright.planning.walls import Wall, largest_cutter, walls
from kerfwright.program import Motion
from kerfwright.room import Room
from kerfwright.strategy import Bridge, Bridges, Lead, Slotting

__all__ = ["Profiled", "profiled"]


@define(frozen=True, eq=False)
class Ring:
    """One way (climb frame) around each of several loops of one shape: rows and shifts (program frame) of those.

    `rooms` of each, program frame; of the first alone where all lie in regions of their own.
    """

    wall: Wall
    cut: Curve
    rooms: tuple[Room, ...]
    rows: tuple[int, ...]
    shifts: Floats
    bridges: tuple[Bridge, ...]
    again: Ask
    told: str = ""


@define(frozen=True, eq=False)
class Profiled:
    """A profile before anything is known of other operations' bridges."""

    context: Context
    operation: Profile
    rings: tuple[Ring, ...]

    @property
    def kerfs(self) -> list[Kerf]:
        """What is cut, program frame."""
        c = self.context
        return [Kerf(r.cut.mirrored() if c.flip else r.cut, r.shifts, c.radius, c.bottom) for r in self.rings]

    @property
    def asked(self) -> list[Asked]:
        """Bridges that this operation places."""
        return [
            Asked(
                self.context,
                r.wall.curve,
                r.bridges,
                r.rows,
                r.shifts,
                self.context.nest.areas[r.rows[0]],
                {"inside": True, "outside": False}.get(r.wall.side),
                r.again,
            )
            for r in self.rings
            if r.bridges
        ]

    def step(self, held: Held, here: Floats | None) -> Motion:
        """Its motion from where the cutter stands, None at the start of a program."""
        motion = cut(self.context, self.blocks(held), held, here)
        heard = tuple(dict.fromkeys(r.told for r in self.rings if r.told))
        return evolve(motion, told=(*motion.told, *heard))

    def blocks(self, held: Held) -> list[Block]:
        """A block for each way, clear of bridges."""
        out = []
        for ring in self.rings:
            out += self._blocks(ring, held)
        return out

    def _blocks(self, ring: Ring, held: Held) -> list[Block]:
        run = self._run(ring, held, 0, self._room(ring, 0))
        by = ring.shifts * self.context.sign
        level = int(ring.wall.main)
        out = [Block((run,), (0.0, 0.0), ring.rows[0], level)]
        suspect = self._suspect(ring)
        for k in range(1, len(ring.rows)):
            if suspect[k]:
                room = self._room(ring, k)
                at = (float(by[k, 0]), float(by[k, 1]))
                if not (room.fits(run.curve.moved(*at)) and room.fits(run.trial.moved(*at))):
                    own = self._run(_moved(ring, by[k]), held, k, room)
                    out.append(Block((own,), (0.0, 0.0), ring.rows[k], level))
                    continue
            out.append(Block((run,), (float(by[k, 0]), float(by[k, 1])), ring.rows[k], level))
        return out

    def _suspect(self, ring: Ring) -> list[bool]:
        """Which copies have something near that the first may not have had."""
        if ring.wall.region is None:
            return [True] * len(ring.rows)
        box = np.array(ring.wall.region.bounds) * np.tile(self.context.sign, 2)
        box = np.concatenate([np.minimum(box[:2], box[2:]), np.maximum(box[:2], box[2:])])
        return self.context.rooms.crowded(ring.rows, shapely.box(*(box + np.tile(ring.shifts, 2)).T))

    def _room(self, ring: Ring, k: int) -> Room:
        """Room of the k-th loop, climb frame."""
        c = self.context
        if k < len(ring.rooms):
            room = ring.rooms[k]
        else:
            wall = ring.wall.mirrored() if c.flip else ring.wall
            room = _fitting(c, ring.rows[k], wall.moved(*ring.shifts[k].tolist()))
        return room.mirrored() if c.flip else room

    def _run(self, ring: Ring, held: Held, k: int, room: Room) -> Run:
        """Reliefs, start, lead, and the entry's proof: in that order, because each sees what the last has left."""
        c = self.context
        # a cut on its line keeps no wall that could have corners
        extra = np.zeros((0, 4)) if ring.wall.side == "line" else reliefs(c, ring.wall.curve, ring.rows[k])
        way, room = spliced(ring.cut, extra), room.beyond(extra)
        near = held.near(_box(way, c.sign), c.radius)
        flank = float(np.max((c.top - c.bottom) / near.slope, initial=0.0))
        near = near.mirrored() if c.flip else near
        starts, spare = (find(way, near, c.radius, flank) for find in (candidates, between))
        side = 0 if ring.wall.side == "line" else 1
        waste: Ints = np.full(len(way), side)
        with told(c.setup, c.work, "entry", c.nest.label(ring.rows[k])):
            attempt = partial(begun, way, waste, starts, room, c.of(Lead), c.first, spare=spare)
            run = entered(c.entries, attempt)
        return evolve(run, spring=c.operation.repeat, depth=None if ring.cut is ring.wall.curve else c.advance)


def _box(curve: Curve, sign: Floats) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = curve.bounds
    return (x0, y0, x1, y1) if sign[0] > 0 else (-x1, y0, -x0, y1)


def _moved(ring: Ring, by: Floats) -> Ring:
    dx, dy = float(by[0]), float(by[1])
    wall = ring.wall.moved(dx, dy)
    cut_ = wall.curve if ring.cut is ring.wall.curve else ring.cut.moved(dx, dy)
    return evolve(ring, wall=wall, cut=cut_)


def profiled(context: Context) -> Profiled:
    """Ways of a profile. Raises InputError where the cutter cannot go."""
    op = context.operation
    assert isinstance(op, Profile)
    nest, work = context.nest, context.work
    rows = context.rows()
    curves = [nest.loops[r].curve for r in rows]
    sides = [work.waste(nest.loops[r]) for r in rows]
    asked = [declared(context, r) for r in rows]
    keys = [(side, shape_of(c), b) for side, c, b in zip(sides, curves, asked, strict=True)]
    groups = alike(keys, np.array([c.nodes[0, :2] for c in curves]).reshape(-1, 2))
    one = [g.members[0] for g in groups]
    found = walls(
        nest.areas[[rows[k] for k in one]],
        [curves[k] for k in one],
        [sides[k] for k in one],
        [nest.loops[rows[k]].depth for k in one],
        context.clear,
    )
    rings: list[Ring] = []
    for group, ways in zip(groups, found, strict=True):
        row = rows[group.members[0]]
        if not ways:
            raise refused(context.setup, work, _too_small(context, row), "cutter")
        rings += [_ring(context, w, group, rows, asked) for w in ways]
    return Profiled(context, op, tuple(rings))


def _ring(context: Context, wall: Wall, group: Alike, rows: list[int], asked: Sequence[Bridges | None]) -> Ring:
    first = group.members[0]
    own = tuple(rows[k] for k in group.members)
    rooms = [_fitting(context, own[0], wall)]
    if wall.region is None:
        for row, (dx, dy) in zip(own[1:], group.shifts[1:].tolist(), strict=True):
            rooms.append(_fitting(context, row, wall.moved(dx, dy)))
    room = rooms[0]
    if context.flip:
        wall, room = wall.mirrored(), room.mirrored()
    slotted, why = wall.curve, ""
    try:
        slotted = context.of(Slotting)(wall.curve, room, context.radius, context.advance)
    except NoRoom as e:
        why = f"{context.nest.label(own[0])}: the full kerf is cut: {e}"
    bridges: tuple[Bridge, ...] = ()
    again: Ask = _none
    strategy = asked[first]
    if strategy is not None and not _dust(wall, context.radius):
        kerf = 2 * context.clear + widening(slotted, wall.curve)
        try:
            again = asking(here(context, strategy, own[0]), wall.curve, kerf)
            bridges = again(0.0)
        except NoRoom as e:
            if wall.main:
                message = f"{context.nest.label(own[0])}: no room: {e}"
                raise refused(context.setup, context.work, message, "bridges") from e
    return Ring(wall, slotted, tuple(rooms), own, group.shifts, bridges, again, why)


def _none(start: float) -> tuple[Bridge, ...]:
    """No bridges, wherever the way starts."""
    return ()


def _dust(wall: Wall, radius: float) -> bool:
    """Whether nothing is left standing inside a way: there is no slug, and no bridge to hold it."""
    return wall.region is not None and bool(shapely.is_empty(offset(wall.region, -radius)))


def _fitting(context: Context, row: int, wall: Wall) -> Room:
    """The room of a way, which must hold it."""
    room = context.rooms.around(row, wall)
    if not room.fits(wall.curve):
        why = context.rooms.blocked_by(row, wall.curve)
        raise refused(context.setup, context.work, f"{context.nest.label(row)}: no way along it: {why}")
    return room


def _too_small(context: Context, row: int) -> str:
    best = largest_cutter(context.nest.areas[row], context.operation.allowance.side)
    allowed = f"at most {best:g} mm, the largest that enters" if best > 0 else "none enters"
    return f"{context.nest.label(row)}: found a cutter of {context.operation.cutter.cuts:g} mm, allowed: {allowed}"
