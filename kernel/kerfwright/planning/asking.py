"""Operations beyond the core: they are asked for ways, whose promise is proved here, and which become dives like any other."""

from __future__ import annotations

import math

import attrs
import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import BrokenPromise, NoRoom
from kerfwright.operation import Answering, Operation
from kerfwright.planning.bridging import Asked
from kerfwright.planning.clearing import cleared
from kerfwright.planning.context import Context
from kerfwright.planning.diving import Dive
from kerfwright.planning.faults import refused, told
from kerfwright.planning.held import Held, Kerf
from kerfwright.planning.lifts import near
from kerfwright.planning.pocketing import Pocketed
from kerfwright.planning.tracing import strung
from kerfwright.program import Motion, Role
from kerfwright.spot import Spot, spots
from kerfwright.strategy import Route
from kerfwright.way import Clear, Way

__all__ = ["Followed", "asked"]

NEAR = 0.003
"""By how much (mm) a way may come nearer to what stands than the cutter's radius: arcs recovered, and chords."""
CHORD = 0.001
"""Chords with which ways are looked at (mm)."""


@define(frozen=True, eq=False)
class Followed:
    """Ways (program frame, Z too) that are followed one after the other."""

    context: Context
    ways: tuple[Way, ...]

    @property
    def kerfs(self) -> list[Kerf]:
        """What is cut away."""
        c = self.context
        still = np.zeros((1, 2))
        return [Kerf(w.curve, still, c.radius, float(w.curve.nodes[:, 2].min())) for w in self.ways if len(w.curve)]

    @property
    def asked(self) -> list[Asked]:
        """None: they place no bridges."""
        return []

    def step(self, held: Held, here: Floats | None) -> Motion:
        """All ways in the route's order."""
        c = self.context
        self._off_bridges(held)
        starts, ends = (np.array([n(w)[:2] for w in self.ways]) for n in (_start, _end))
        with told(c.setup, c.work, "route", "the order of the ways"):
            order = c.of(Route)(starts, ends, np.zeros((0, 2), np.int64), np.zeros(2) if here is None else here[:2])
        still = np.zeros(2)
        dives = [(dive, still) for k in order.tolist() for dive in _dives(c, self.ways[k])]
        heard = dict.fromkeys(text for w in self.ways for text in w.told)
        return attrs.evolve(strung(c, dives, here), told=tuple(heard))

    def _off_bridges(self, held: Held) -> None:
        """A way is not raised over a bridge: what it makes would be lost there, so that is refused."""
        cutter = self.context.operation.cutter
        for way in self.ways if len(held) else ():
            low = float(way.curve.nodes[:, 2].min())
            for z in np.unique(held.z[held.z > low + 1e-9]).tolist():
                some, reach = held.take(np.flatnonzero(held.z == z)), cutter.radius_at(z - low) - NEAR
                if len(way.curve):
                    met = near(way.curve, some, reach)[:1, 0]
                else:
                    met = np.zeros(int((some.gap(way.curve.start[:2]) < reach).any()))
                if len(met):
                    x, y = way.curve.at(met)[0][0, :2] if len(way.curve) else way.curve.start[:2]
                    text = f"at ({x:.3f}, {y:.3f}) its cutter would enter a bridge, whose top lies at Z {z:.3f}"
                    raise refused(self.context.setup, self.context.work, text)


def _start(way: Way) -> Floats:
    return way.curve.start


def _end(way: Way) -> Floats:
    return way.curve.end


def asked(context: Context) -> Followed | Pocketed:
    """Ask piece by piece. Raises InputError where there is no room, BrokenPromise where an answer is none."""
    op, work, setup = context.operation, context.work, context.setup
    if not isinstance(op, Answering) or type(op).ways is Operation.ways:
        raise refused(setup, work, f"found {op.kind!r}, which answers no ways, allowed: an operation that does")
    ways: list[Way] = []
    areas: list[tuple[Clear, Spot]] = []
    for spot in spots(setup, work):
        try:
            answer = op.ways(spot)
        except NoRoom as e:
            where = f"part {spot.piece.part!r} copy {spot.piece.copy}"
            raise refused(setup, work, f"{where}: no room: {e}") from e
        for one in answer:
            if isinstance(one, Clear):
                _clear_of_others(context, one.area, context.radius, spot)
                areas.append((one, spot))
                continue
            _hold(context, isinstance(one, Way), "an answer is made of ways and areas")
            nodes, turns = one.curve.nodes, one.curve.turns
            _hold(context, np.isfinite(nodes).all() and np.isfinite(turns).all(), "a way has finite numbers")
            _hold(context, (nodes[:, 2] < 0).all(), "a way lies below the sheet's top")
            placed = Curve(nodes + [0.0, 0.0, setup.heights.top], turns)
            _deep_enough(context, placed)
            path = shapely.linestrings(np.vstack([p := placed.flat(CHORD)[0][:, :2], p[-1:] + [1e-7, 0.0]]))
            wide = op.cutter.radius_at(setup.heights.highest - float(placed.nodes[:, 2].min()))
            _clear_of_others(context, path, wide, spot)
            ways.append(attrs.evolve(one, curve=placed))
    _hold(context, bool(ways) != bool(areas), "an answer has ways, or areas, and not both")
    return (
        cleared(context, [(one, spot.piece.index) for one, spot in areas]) if areas else Followed(context, tuple(ways))
    )


def _hold(context: Context, ok: object, rule: str) -> None:
    if not ok:
        cls = type(context.operation)
        raise BrokenPromise(f"operation {cls.kind} ({cls.__module__}.{cls.__qualname__}): {rule}")


def _deep_enough(context: Context, curve: Curve) -> None:
    """The cutter is long enough, and its tip goes no deeper than a through cut."""
    setup, work, cutter = context.setup, context.work, context.operation.cutter
    low = float(curve.nodes[:, 2].min())
    deep = setup.heights.highest - low
    long = {"flute_length" if cutter.reach is None else "reach": cutter.reach or cutter.flute_length}
    if cutter.holder is not None:
        long["holder.above"] = cutter.holder.above
    for what, limit in long.items():
        if limit < deep - 1e-9:
            text = f"its {what} of {limit:g} mm is too short: the cut is {deep:.4g} mm deep"
            raise refused(setup, work, text, "cutter")
    if low < setup.heights.floor - 1e-9:
        text = (
            f"the tip would go {setup.heights.floor - low:.3f} mm below the floor of a through cut; allowed: a breakthrough "
            "that reaches so far, or a cutter with a wider tip"
        )
        raise refused(setup, work, text, "cutter")


def _clear_of_others(context: Context, path: shapely.Geometry, wide: float, spot: Spot) -> None:
    """Neither another piece, as `wide` as the cutter is at the sheet's top, nor a keepout is met."""
    setup, cutter, nest = context.setup, context.operation.cutter, context.nest
    solid = [k for k in nest.solid.tolist() if nest.pieces[k] != nest.position[spot.piece.index]]
    # a piece may lie in an opening of another one
    solid = [k for k in solid if not shapely.contains(nest.areas[k], shapely.Point(shapely.get_coordinates(path)[0]))]
    for things, radius, what in ((nest.areas[solid], wide, nest.label), (list(spot.keepouts), cutter.radius, None)):
        away = shapely.distance(path, np.array(things, object)) if len(things) else np.zeros(0)
        if len(away) and away.min() < radius - NEAR:
            k = int(np.argmin(away))
            name = what(solid[k]) if what else f"sheet.keepout[{k}]"
            raise refused(setup, context.work, f"would cut into {name}: {away[k]:.4g} mm from the tip's way")


def _dives(context: Context, way: Way) -> list[Dive]:
    """Straight down at the start, in even passes no deeper than the axial depth; a closed way is left once."""
    top, axial = context.setup.heights.highest, context.work.rates.axial_depth
    nodes = way.curve.nodes
    count = max(1, math.ceil((top - float(nodes[:, 2].min())) / axial - 1e-9))
    passes = [
        nodes * [1, 1, 0] + np.outer(top - (top - nodes[:, 2]) * k / count, [0, 0, 1]) for k in range(1, count + 1)
    ]
    closed = np.abs(nodes[0] - nodes[-1]).max() < 1e-6
    if closed or not len(way.curve):
        joined = np.vstack(passes)
        seams = [np.append(way.curve.turns, 0.0)] * (count - 1) + [way.curve.turns]
        return [_dive(Curve(joined, np.concatenate(seams)), way.waste)]
    return [_dive(Curve(p, way.curve.turns), way.waste) for p in passes]


def _dive(curve: Curve, waste: int) -> Dive:
    still = (curve.lengths < 1e-9) & (np.diff(curve.nodes[:, 2]) < 0)
    roles = np.where(still, Role.APPROACH, Role.CONTACT).astype(np.int64)
    return Dive(curve, roles, np.where(still, 0, waste).astype(np.int64))
