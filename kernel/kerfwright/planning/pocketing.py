"""Pockets: center regions, the ways that clear them, bridges of what stands inside. Areas of one shape are planned once."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from functools import partial

import numpy as np
import shapely
from attrs import define, evolve

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.operation import Operation, Pocket
from kerfwright.planning.bridgeends import Around, with_sides
from kerfwright.planning.bridging import Ask, Asked, asking
from kerfwright.planning.chaining import chains
from kerfwright.planning.congruence import Alike, alike, shape_of
from kerfwright.planning.context import Context
from kerfwright.planning.cutting import cut
from kerfwright.planning.declaring import declared, here
from kerfwright.planning.engaging import before_corners
from kerfwright.planning.entering import entered, offers
from kerfwright.planning.faults import refused, told
from kerfwright.planning.held import Held, Kerf
from kerfwright.planning.reliefs import reliefs, spliced
from kerfwright.planning.resting import Before, airy, before, named, rest
from kerfwright.planning.run import Block, Run
from kerfwright.planning.starts import begun, between, candidates, opened
from kerfwright.planning.walls import largest_cutter, regions
from kerfwright.program import Motion, Role
from kerfwright.room import Room, mirror
from kerfwright.strategy import Bridge, Bridges, Cover, Entry, Lead

__all__ = ["Clearing", "Pocketed", "pocketed"]


@define(frozen=True, eq=False)
class Clearing:
    """Ways (climb frame) that clear one center region, at several places: row of the outline around it, and shift.

    `bridged`: ways around what stands inside, with their bridges and the row of what they hold, and how to
    ask for others. `left`: what an earlier
    pocket has left to be cleared (climb frame), None where there was none.
    """

    curves: tuple[Curve, ...]
    walls: tuple[Curve, ...]
    room: Room
    rows: tuple[int, ...]
    shifts: Floats
    bridged: tuple[tuple[Curve, tuple[Bridge, ...], int, Ask], ...]
    left: shapely.Geometry | None


@define(frozen=True, eq=False)
class Pocketed:
    """A pocket before anything is known of other operations' bridges."""

    context: Context
    operation: Operation
    clearings: tuple[Clearing, ...]
    remarks: tuple[str, ...]

    @property
    def kerfs(self) -> list[Kerf]:
        """What is cut, program frame."""
        c = self.context
        return [
            Kerf(one.mirrored() if c.flip else one, some.shifts, c.radius, c.bottom)
            for some in self.clearings
            for one in some.curves
        ]

    @property
    def asked(self) -> list[Asked]:
        """Bridges that this operation places."""
        return [
            Asked(
                self.context, way, bridges, some.rows, some.shifts, self.context.nest.areas[island], False, again,
                self._around(some),
            )
            for some in self.clearings
            for way, bridges, island, again in some.bridged
        ]  # fmt: skip

    def _around(self, one: Clearing) -> Around:
        c = self.context
        region = mirror(one.room.polygon) if c.flip else one.room.polygon
        return Around(region, tuple(v.mirrored() if c.flip else v for v in one.curves), c.radius, c.bottom)

    def step(self, held: Held, here: Floats | None) -> Motion:
        """Its motion from where the cutter stands, None at the start of a program."""
        motion = cut(self.context, self.blocks(held), held, here)
        return evolve(motion, told=(*motion.told, *self.remarks))

    def blocks(self, held: Held) -> list[Block]:
        """A block for each clearing: its order is the cover's."""
        out = []
        for one in self.clearings:
            runs = self._runs(one, held)
            by = one.shifts * self.context.sign
            out += [Block(runs, (float(x), float(y)), row) for row, (x, y) in zip(one.rows, by, strict=True)]
        return out

    def _runs(self, one: Clearing, held: Held) -> tuple[Run, ...]:
        """From the first start of the first way where every entry finds room."""
        c = self.context
        extra = np.vstack([np.zeros((0, 4)), *[reliefs(c, w, one.rows[0]) for w in one.walls]])
        near = held.mirrored() if c.flip else held
        ways: Sequence[Curve] = one.curves
        if one.bridged:
            across = near.near(one.room.polygon.bounds, 0.0)
            across = across.take(np.flatnonzero(across.z > c.bottom + 1e-9))
            ways = with_sides(Around(one.room.polygon, one.curves, c.radius, c.bottom), across)
        curves, room = [spliced(v, extra) for v in ways], one.room.beyond(extra)
        starts = self._starts(curves[0], one, near).tolist() if curves[0].closed else [0.0]
        with told(c.setup, c.work, "entry", c.nest.label(one.rows[0])):
            for some, start in offers(c.entries, starts)[:-1]:
                with suppress(NoRoom):
                    return self._sprung(self._chained(curves, room, start, near, some, one), one, extra, near)
            return self._sprung(self._chained(curves, room, starts[-1], near, c.entries, one), one, extra, near)

    def _starts(self, curve: Curve, one: Clearing, near: Held) -> Floats:
        """Where a closed way may start: in the air first, where another cutter has been."""
        found = candidates(curve, near, self.context.radius)
        if one.left is None:
            return found
        return np.concatenate([airy(curve, one.left, self.context.radius, near), found])

    def _sprung(self, runs: tuple[Run, ...], one: Clearing, extra: Floats, near: Held) -> tuple[Run, ...]:
        """With the walls' laps once more after the last run."""
        times = self.context.operation.repeat
        if not times:
            return runs
        walls = [spliced(w, extra) for w in one.walls]
        flank = float(np.max((self.context.top - self.context.bottom) / near.slope, initial=0.0))
        laps = tuple((w, candidates(w, near, self.context.radius, flank), times) for w in walls)
        return (*runs[:-1], evolve(runs[-1], laps=laps))

    def _chained(
        self, curves: Sequence[Curve], room: Room, start: float, near: Held, entries: Sequence[Entry], one: Clearing
    ) -> tuple[Run, ...]:
        c, lead = self.context, self.context.of(Lead)
        runs = []
        for curve, roles in chains(curves, room, c.radius, start):
            waste = np.where(roles == Role.CONTACT, 1, 0)
            if curve.closed and (roles == Role.CONTACT).all():
                free = np.concatenate([[0.0], self._starts(curve, one, near)])
                spare = between(curve, near, c.radius)
                runs.append(entered(entries, partial(begun, curve, waste, free, room, lead, c.first, spare=spare)))
                continue
            runs.append(entered(entries, partial(opened, curve, waste, roles, room, lead, c.first)))
        return tuple(evolve(run, depth=c.advance) for run in runs)


def pocketed(context: Context) -> Pocketed:
    """Ways of a pocket. Raises InputError where the cutter cannot go, and where an earlier one has left it nothing."""
    op, nest = context.operation, context.nest
    assert isinstance(op, Pocket)
    found = list(nest.islands(context.rows()).items())
    earlier = before(context, [row for row, _ in found])
    keys, starts = [], []
    for (row, islands), ahead in zip(found, earlier, strict=True):
        origin = nest.loops[row].curve.nodes[0, :2]
        inner = tuple((shape_of(nest.loops[k].curve, origin), declared(context, k)) for k in islands)
        keys.append((shape_of(nest.loops[row].curve), inner, ahead.key))
        starts.append(origin)
    groups = alike(keys, np.array(starts).reshape(-1, 2))
    areas = np.empty(len(groups), object)
    for n, group in enumerate(groups):
        row, islands = found[group.members[0]]
        areas[n] = shapely.Polygon(nest.areas[row].exterior, [nest.areas[k].exterior for k in islands])
    parts, own, walls = regions(areas, context.clear)
    clearings: list[Clearing] = []
    rests: list[str] = []
    for n, group in enumerate(groups):
        row, islands = found[group.members[0]]
        mine = np.flatnonzero(own == n)
        if not len(mine):
            raise refused(
                context.setup,
                context.work,
                f"{nest.label(row)}: found a cutter of {op.cutter.cuts:g} mm, allowed: at most "
                f"{largest_cutter(areas[n], op.allowance.side):g} mm, the largest that enters",
                "cutter",
            )
        rows = tuple(found[k][0] for k in group.members)
        asked = {k: declared(context, k) for k in islands}
        gone = earlier[group.members[0]]
        some = [_Area(parts[k], walls[k], parts[k], None) for k in mine]
        if gone.works and not any(asked.values()):
            rested = [one for area in some for one in _rested(context, area, gone, row)]
            # laps along the walls come when all is cleared: that is known of a single part, or of all of the area
            if not op.repeat or len(rested) == 1:
                some = rested
                more = f" and {len(rows) - 1} more" if len(rows) > 1 else ""
                what = f"only what {named(gone.works)} left is cleared" if some else f"{named(gone.works)} left nothing"
                rests.append(f"{context.work.path}, {nest.label(row)}{more}: {what}")
        clearings += [_clearing(context, one, rows, group, asked) for one in some]
        lost = [
            k for k, b in asked.items() if b and not any(_inside(nest.areas[k], w) for m in mine for w in walls[m][1:])
        ]
        if lost:
            raise refused(
                context.setup,
                context.work,
                f"{nest.label(lost[0])}: not yet: bridges of what the cutter cannot go all around",
                "bridges",
            )
    if not clearings:
        all_of_them = named([w for ahead in earlier for w in ahead.works])
        raise refused(
            context.setup,
            context.work,
            f"found a cutter of {op.cutter.cuts:g} mm, but {all_of_them} has cleared all that it reaches; allowed: a "
            "smaller cutter, a greater depth, or other outlines",
            "cutter",
        )
    return Pocketed(context, op, tuple(clearings), tuple(rests))


@define(frozen=True, eq=False)
class _Area:
    """A center region (program frame) with the ways along its walls, and the part of it to be covered."""

    region: shapely.Polygon
    walls: list[Curve]
    part: shapely.Polygon
    left: shapely.Geometry | None


def _rested(context: Context, area: _Area, gone: Before, row: int) -> list[_Area]:
    """The parts of a center region where earlier pockets left something."""
    ways = [w.mirrored().reversed() if context.flip else w for w in area.walls]
    nodes = np.vstack([reliefs(context, w, row)[:, :2] for w in ways]) * context.sign
    parts, left = rest(area.region, context.radius, gone.cleared(), nodes)
    return [_Area(area.region, area.walls, part, left) for part in parts]


def _clearing(
    context: Context,
    area: _Area,
    rows: tuple[int, ...],
    group: Alike,
    asked: dict[int, Bridges | None],
) -> Clearing:
    region, walls, part, left = area.region, area.walls, area.part, area.left
    if context.flip:
        region, part, walls = mirror(region), mirror(part), [w.mirrored().reversed() for w in walls]
        left = None if left is None else mirror(left)
    label = context.nest.label(rows[0])
    with told(context.setup, context.work, "cover", label):
        curves = [before_corners(v, context.advance) for v in context.of(Cover)(part, context.radius, context.advance)]
    bridged = []
    for way in walls[1:]:
        back = way.mirrored() if context.flip else way
        island = next((k for k, b in asked.items() if b and _inside(context.nest.areas[k], back)), None)
        if island is not None:
            strategy = asked[island]
            assert strategy is not None
            with told(context.setup, context.work, "bridges", label):
                again = asking(here(context, strategy, island), way, 2 * context.clear)
                bridged.append((way, again(0.0), island, again))
    room = Room(region, radius=context.radius)
    return Clearing(tuple(curves), tuple(walls), room, rows, group.shifts, tuple(bridged), left)


def _inside(area: shapely.Polygon, way: Curve) -> bool:
    """Whether a way around an island (clockwise, or its mirror image) goes around an area."""
    return bool(shapely.contains(way.polygon(0.01), area))
