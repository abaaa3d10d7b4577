"""Bridges asked for on ways, turned into places once all kerfs of the sheet are known."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress

import numpy as np
import shapely
from attrs import define, evolve

from kerfwright.arrays import Bools, Floats
from kerfwright.curve import Curve
from kerfwright.errors import InputError, NoRoom
from kerfwright.planning.bridgeends import Around, passed
from kerfwright.planning.context import Context
from kerfwright.planning.faults import refused
from kerfwright.planning.held import FAR, Held, Kerf, across, grazed
from kerfwright.planning.sharing import shared
from kerfwright.strategy import Bridge, Bridges

__all__ = ["Ask", "Asked", "asking", "measured", "widening"]

Ask = Callable[[float], tuple[Bridge, ...]]
TURNS = 16
"""Places that a set of bridges is moved to before it is refused, the first among them."""


@define(frozen=True, eq=False)
class Asked:
    """Bridges on one way (climb frame) of loops of one shape: the rows of those and their shifts (program frame).

    `area` is what the first loop surrounds (program frame). What a bridge holds to lies in it, for a slug, or outside of it,
    for a piece: `slug` True or False, None where either will do. `around`: the first pocket that is cleared around it, None
    for a profile. `again`: asks for the same bridges on the way as if it started at a length.
    """

    context: Context
    way: Curve
    bridges: tuple[Bridge, ...]
    rows: tuple[int, ...]
    shifts: Floats
    area: shapely.Polygon
    slug: bool | None
    again: Ask
    around: Around | None = None

    def held(self, kerfs: Sequence[Kerf]) -> Held:
        """As places. One that would only hold a piece to itself, across a narrow bay, is left out while two others hold.

        Where those asked for will not do, or a neighbour's cut would graze one, the same are tried a little further along the way. Raises InputError where
        nothing stands on the other side of the kerf, where fewer than two bridges hold, and where the cutter does not go
        around the end of one.
        """
        why: InputError | None = None
        second: Held | None = None
        for bridges in self._offers():
            try:
                held = self._held(bridges, kerfs)
            except InputError as e:
                why = why or e
                continue
            if self.around is not None or not grazed(held, kerfs, self.context.radius).any():
                return held
            second = second or held
        if second is not None:
            return second
        assert why is not None
        raise why

    def _offers(self) -> Iterator[tuple[Bridge, ...]]:
        """As asked for, then moved along by fractions of the distance between two; what comes again is passed over."""
        yield self.bridges
        length, seen = self.way.length, {_places(self.bridges)}
        for k in range(1, TURNS):
            s = length / len(self.bridges) * k / TURNS
            with suppress(NoRoom):
                moved = tuple(evolve(b, s=(b.s + s) % length) for b in self.again(s))
                if _places(moved) not in seen:
                    seen.add(_places(moved))
                    yield moved

    def _held(self, b: tuple[Bridge, ...], kerfs: Sequence[Kerf]) -> Held:
        c = self.context
        p, d = self.way.at([one.s for one in b])
        points = p[:, :2] * c.sign
        left = np.column_stack([-np.sin(d), np.cos(d)]) * c.sign
        n, m = len(self.shifts), len(b)
        points = (points[None] + self.shifts[:, None]).reshape(-1, 2)
        left = np.tile(left, (n, 1))
        heights = c.setup.heights
        z, width, slope = (
            np.tile(v, n)
            for v in (
                np.array([heights.bridge_top(one.thickness) for one in b]),
                np.array([one.width for one in b]),
                np.array([one.slope for one in b]),
            )
        )
        far = across(points, left, z, width, c.radius, kerfs, c.setup.stock)
        lost = np.flatnonzero(np.isnan(far))
        if len(lost):
            x, y = points[lost[0]]
            raise refused(
                c.setup,
                c.work,
                f"{c.nest.label(self.rows[lost[0] // m])}: no room: nothing is left standing within {FAR * c.radius:.1f} mm "
                f"of the bridge at ({x:.3f}, {y:.3f}) that it could hold to",
                "bridges",
            )
        good = self._good(points + (far + 0.01)[:, None] * left, n, m)
        held = Held(points - c.clear * left, left, far + c.clear, width / 2, z, slope)
        few = np.flatnonzero(good.sum(1) < min(2, m))
        if len(few):
            i = int(few[0])
            x, y = points[i * m + int(np.argmin(good[i]))]
            raise refused(
                c.setup,
                c.work,
                f"{c.nest.label(self.rows[i])}: no room: the bridge at ({x:.3f}, {y:.3f}) would hold it to itself",
                "bridges",
            )
        kept = good.ravel()
        if self.around is not None:
            mine = held.take(np.flatnonzero(kept[:m])).moved(*-self.shifts[0])
            blind = np.flatnonzero(~passed(self.around, mine))
            if len(blind):
                x, y = points[np.flatnonzero(kept[:m])[blind[0]]]
                raise refused(
                    c.setup,
                    c.work,
                    f"{c.nest.label(self.rows[0])}: no room: the bridge at ({x:.3f}, {y:.3f}) ends in a bay where the cutter "
                    "cannot go around it; allowed: bridges elsewhere, or a smaller cutter",
                    "bridges",
                )
        return held.take(np.flatnonzero(kept))

    def _good(self, ends: Floats, n: int, m: int) -> Bools:
        """Which bridges (n, m) end on something else than what they hold."""
        if self.slug is None:
            return np.ones((n, m), bool)
        back = ends - np.repeat(self.shifts, m, axis=0)
        inside: Bools = shapely.contains(self.area, shapely.points(back)) == self.slug
        return inside.reshape(n, m)


def asking(bridges: Bridges, way: Curve, kerf: float) -> Ask:
    """Places of bridges on a way, as if it started at a length; they count from there."""
    return lambda s: tuple(bridges(way.turned_to(s) if s else way, kerf))


def _places(bridges: Sequence[Bridge]) -> tuple[float, ...]:
    return tuple(sorted(round(b.s, 2) for b in bridges))


def measured(asked: Sequence[Asked], kerfs: Sequence[Kerf]) -> Held:
    """All bridges of a sheet as places."""
    found = [a.held(kerfs) for a in asked]
    radius = np.concatenate([np.zeros(0), *[np.full(len(h), a.context.radius) for h, a in zip(found, asked)]])
    return shared(Held.join(found), radius)


def widening(cut: Curve, loop: Curve) -> float:
    """How much wider than the cutter a slotted cut makes the kerf (mm): measured, not asked."""
    return 0.0 if cut is loop else float(shapely.hausdorff_distance(cut.path(0.01), loop.path(0.01)))
