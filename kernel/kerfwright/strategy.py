"""One protocol per strategy kind, all in one file (over 300 lines) so that the whole contract is read in one place.

A plugin fills in the one named method; the planner calls the object itself, and
`__call__` proves the answer against the promise (BrokenPromise names plugin and rule).

What every strategy may rely on, and keep:

- Plan only: curves have Z 0, except in Entry. Z belongs to Passes (levels), Entry (between two levels) and the lifts of
  bridges, which the planner makes.
- The wall to keep is on the RIGHT of travel, waste on the LEFT (climb). Conventional is planned in a mirror.
- `s` is XY length along the curve handed in, and is meaningless for any other curve.
- Pure and deterministic: no state, no clock, no random without a fixed seed, arguments never changed.
- Answer with data; only the planner splices, so no strategy knows that another exists.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, ClassVar

import numpy as np
import shapely
from attrs import define, frozen

from kerfwright import fields
from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.errors import BrokenPromise
from kerfwright.room import Room
from kerfwright.sweep import unswept

__all__ = [
    "KINDS",
    "Bridge",
    "Bridges",
    "Corners",
    "Cover",
    "Cycle",
    "Entry",
    "Layout",
    "Lead",
    "Passes",
    "Route",
    "Slotting",
    "Strategy",
]


@define(frozen=True, kw_only=True)
class Strategy:
    """One interchangeable decision inside an operation. Fields are its job-file parameters."""

    kind: ClassVar[str] = ""
    name: ClassVar[str] = ""
    reproducible: ClassVar[bool] = True  # False: another run may answer otherwise; its docstring says so

    def _hold(self, ok: object, rule: str) -> None:
        if not ok:
            raise BrokenPromise(f"{self.kind} {self.name} ({type(self).__module__}.{type(self).__qualname__}): {rule}")


@define(frozen=True, kw_only=True)
class Entry(Strategy):
    """The way down into the material."""

    kind = "entry"

    def enter(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        """Way from (start of `cut`, `top`) to `bottom`; and `at`, the length on `cut` where it ends.

        Never rises, stays inside `room` or on `cut`. `at` is 0 on an open cut; on a closed one the planner turns the
        start there, so the end of pass k is the start of way k+1. Raises NoRoom: the planner offers other starts.
        """
        raise NotImplementedError

    def __call__(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        """Ask, and prove the answer."""
        way, at = self.enter(cut, top, bottom, room)
        z = way.nodes[:, 2]
        self._hold(np.isfinite(way.nodes).all() and np.isfinite(way.turns).all(), "a way has finite numbers")
        self._hold(
            np.abs(way.start - [*cut.start[:2], top]).max() < 1e-6, "a way begins above the start of the cut, at top"
        )
        self._hold(np.abs(way.end - [*cut.at(at)[0][0, :2], bottom]).max() < 1e-6, "a way ends on the cut, at bottom")
        self._hold(at == 0 or cut.closed, "an open cut is entered at its start")
        self._hold((np.diff(z) < 1e-9).all(), "a way never rises")
        self._hold(room.fits(way), "a way stays in the room")
        return way, at


@define(frozen=True, kw_only=True)
class Passes(Strategy):
    """The depths of the passes."""

    kind = "passes"

    def levels(self, top: float, bottom: float, axial_depth: float) -> Floats:
        """Z of each pass: falling, the first below `top`, the last exactly `bottom`.

        Z 0 is the sheet's top, whatever the program's zero: a depth d of the job file is Z -d. Raises NoRoom where
        parameters contradict what is asked.
        """
        raise NotImplementedError

    def stretch(self, above: float, below: float) -> Passes:
        """The same for a stretch of the depth (mm below the sheet's top), where an operation is done in two. Most know no
        depths of their own.
        """
        return self

    def __call__(self, top: float, bottom: float, axial_depth: float) -> Floats:
        """Ask, and prove the answer."""
        z = np.asarray(self.levels(top, bottom, axial_depth), float)
        self._hold(
            len(z) and z[-1] == bottom and (np.diff(np.r_[top, z]) < 0).all(), "levels fall from top to exactly bottom"
        )
        return z


@define(frozen=True, kw_only=True)
class Cover(Strategy):
    """The ways that clear an area."""

    kind = "cover"

    def cover(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
        """Planar curves in cutting order, inside the center region, that sweep all a cutter of `radius` can reach from it.

        `advance` is the distance between neighbouring cuts (mm). Closed curves: the planner picks the start. Open ones:
        neither turned nor reversed. The planner links them (straight, in room, short) or retracts.
        """
        raise NotImplementedError

    def __call__(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
        """Ask, and prove the answer."""
        curves = self.cover(region, radius, advance)
        lines = np.array([c.path() for c in curves], object)
        wide = shapely.buffer(region, 0.004, quad_segs=2)
        shapely.prepare(wide)
        self._hold(
            len(lines) and shapely.covers(wide, lines).all(), "curves stay in the center region, and there are some"
        )
        self._hold(not len(unswept(region, curves, radius)), "curves leave nothing that the cutter can reach")
        return curves


@frozen
class Bridge:
    """Center at length `s`; `width` left standing; `thickness` up from the underside; slope of the flanks (mm per mm)."""

    s: float
    width: float
    thickness: float
    slope: float = math.inf


@define(frozen=True, kw_only=True)
class Bridges(Strategy):
    """Where an outline leaves uncut links. A strategy's name is the job key that tells it from others (`spacing`)."""

    kind = "bridges"

    width: float = fields.number("waist left standing", unit="mm", above=0, most=20, default=0.8)
    thickness: float = fields.number(
        "what stays, from the sheet's underside up", unit="mm", above=0, most=20, default=0.4
    )

    def places(self, loop: Curve, kerf: float) -> list[Bridge]:
        """Bridges on the bare loop (the cutter center's way). `kerf` is the measured width of what the cut takes (mm).

        Never overlapping; on straights, away from corners. Raises NoRoom where the loop has no place for them.
        """
        raise NotImplementedError

    def drawn(self, outline: Curve, outlines: Sequence[Curve]) -> Bridges:
        """The same for one outline as drawn, where parameters are places in the drawing; `outlines` are all those of the
        part that these bridges are declared on. Raises NoRoom where the places do not fit. Most know no places.
        """
        return self

    def placed(self, move: Callable[[Floats], Floats]) -> Bridges:
        """The same with its places (m, 2) moved to where the outline lies in the frame of the loop. Most know none."""
        return self

    def __call__(self, loop: Curve, kerf: float) -> list[Bridge]:
        """Ask, and prove the answer."""
        b = sorted(self.places(loop, kerf), key=lambda one: one.s)
        s, w = np.array([x.s for x in b]), np.array([x.width for x in b])
        self._hold(((s >= 0) & (s < loop.length)).all(), "bridges lie on the loop")
        if loop.closed:
            gap = np.diff(np.r_[s, s[:1] + loop.length]) - w - kerf
            self._hold(len(b) < 2 or (gap > 0).all(), "bridges do not overlap")
        return b


@define(frozen=True, kw_only=True)
class Lead(Strategy):
    """The way to the wall and from it."""

    kind = "lead"

    def lead(self, cut: Curve, room: Room) -> tuple[Curve, Curve]:
        """Way in that ends at cut.start, way out that starts at cut.end; EMPTY for none.

        Raises NoRoom where there is none for a lead as asked, nor for a smaller one: the planner offers other starts,
        then cuts without it and says so. So leads never fail.
        """
        raise NotImplementedError

    def __call__(self, cut: Curve, room: Room) -> tuple[Curve, Curve]:
        """Ask, and prove the answer."""
        a, b = self.lead(cut, room)
        self._hold(not len(a) or np.abs(a.end - cut.start).max() < 1e-6, "the way in ends where the cut starts")
        self._hold(not len(b) or np.abs(b.start - cut.end).max() < 1e-6, "the way out starts where the cut ends")
        self._hold(room.fits(a) and room.fits(b), "leads stay in the room")
        return a, b


@define(frozen=True, kw_only=True)
class Corners(Strategy):
    """What is done in inside corners."""

    kind = "corners"

    def reliefs(self, loop: Curve, radius: float) -> Floats:
        """Rows (x, y, to_x, to_y): from a node of the loop the cutter's center also visits `to`, straight, and returns.

        The only cut allowed beyond a wall; depends on loop and radius only.
        """
        raise NotImplementedError

    def __call__(self, loop: Curve, radius: float) -> Floats:
        """Ask, and prove the answer."""
        r = np.asarray(self.reliefs(loop, radius), float).reshape(-1, 4)
        self._hold(np.hypot(*(r[:, :2] - r[:, 2:]).T).max(initial=0) <= radius * 3, "a relief is short")
        return r


@define(frozen=True, kw_only=True)
class Cycle(Strategy):
    """The strokes of a drill; or the way around of a cutter in a hole wider than itself."""

    kind = "cycle"
    wide: ClassVar[bool] = False  # the holes are wider than the cutter: the planner asks `around`, not `strokes`

    def strokes(self, top: float, bottom: float) -> Floats:
        """Rows (k, 4): down to z at plunge feed, up to z, up by rapid 1 or feed 0, dwell at the bottom (s).

        The first stroke starts at `top` (the approach plane), the last comes back to it.
        """
        raise NotImplementedError

    def __call__(self, top: float, bottom: float) -> Floats:
        """Ask, and prove the answer."""
        k = np.asarray(self.strokes(top, bottom), float)
        self._hold(k.ndim == 2 and k.shape[1] == 4 and len(k), "strokes are rows of four numbers")
        self._hold(k[:, 0].min() == bottom and k[-1, 1] >= top, "reaches bottom and comes out")
        return k

    def around(self, wider: float, cutter: float, top: float, bottom: float, axial_depth: float) -> Curve:
        """Way of the center about (0, 0) in a hole whose radius is `wider` than that of the `cutter` (mm).

        From `top`, never rising, by no more than `axial_depth` a turn, nowhere further out than `wider`, and at `bottom`
        all around at that distance. Raises NoRoom where something would stay in the middle. Asked of a cycle that is
        `wide`.
        """
        raise NotImplementedError

    def bored(self, wider: float, cutter: float, top: float, bottom: float, axial_depth: float) -> Curve:
        """Ask for the way around, and prove the answer."""
        way = self.around(wider, cutter, top, bottom, axial_depth)
        z, path = way.nodes[:, 2], way.path(0.0005)
        self._hold(np.isfinite(way.nodes).all() and np.isfinite(way.turns).all(), "a way has finite numbers")
        self._hold(abs(z[0] - top) < 1e-9 and (np.diff(z) < 1e-9).all(), "a way around begins at top and never rises")
        arcs = np.abs(way.turns) > 1e-9
        pitch = -np.diff(z)[arcs] / np.abs(way.turns[arcs]) * 2 * math.pi
        self._hold((pitch <= axial_depth + 1e-6).all(), "a way around falls by no more than the axial depth a turn")
        self._hold(
            shapely.covers(shapely.Point(0, 0).buffer(wider + 1e-3, 256), path), "a way around stays in the hole"
        )
        low = np.maximum(z[:-1], z[1:]) < bottom + 1e-9
        wall = shapely.Point(0, 0).buffer(wider, 64).exterior
        near = shapely.union_all(shapely.buffer(way.paths(0.0005)[low], 2e-3))
        self._hold(z[-1] == bottom and shapely.covers(near, wall), "a way around goes all around at the bottom")
        return way


@define(frozen=True, kw_only=True)
class Route(Strategy):
    """The order of the cuts."""

    kind = "route"

    def order(self, starts: Floats, ends: Floats, before: Ints, here: Floats) -> Ints:
        """A permutation of n blocks from their starts and ends (n, 2); for each row (a, b) of `before`, a comes first.

        `here` (2,) is where the cutter stands.
        """
        raise NotImplementedError

    def __call__(self, starts: Floats, ends: Floats, before: Ints, here: Floats) -> Ints:
        """Ask, and prove the answer."""
        p = np.asarray(self.order(starts, ends, before, here), np.int64)
        self._hold(np.array_equal(np.sort(p), np.arange(len(starts))), "an order names each block once")
        rank = np.argsort(p)
        self._hold((rank[before[:, 0]] < rank[before[:, 1]]).all(), "what must come first comes first")
        return p


@define(frozen=True, kw_only=True)
class Slotting(Strategy):
    """How a full kerf is cut."""

    kind = "slotting"

    def slot(self, loop: Curve, room: Room, radius: float, advance: float) -> Curve:
        """A curve that visits all of `loop` in order, keeps its nodes, and may wander left of it inside the room."""
        raise NotImplementedError

    def __call__(self, loop: Curve, room: Room, radius: float, advance: float) -> Curve:
        """Ask, and prove the answer."""
        c = self.slot(loop, room, radius, advance)
        self._hold(c.closed == loop.closed and room.fits(c), "a slot keeps closed closed, and the room")
        return c


@define(frozen=True, kw_only=True)
class Layout(Strategy):
    """Where the copies of a part lie on the sheet."""

    kind = "layout"

    def places(self, outline: shapely.Geometry, at: tuple[tuple[float, float], ...], turn: float) -> Floats:
        """Rows (k, 3): x, y of the lower left corner of the turned outline's extent, and the turn (degrees).

        `outline` is the part as drawn, `at` and `turn` what the job says.
        """
        raise NotImplementedError

    def __call__(self, outline: shapely.Geometry, at: tuple[tuple[float, float], ...], turn: float) -> Floats:
        """Ask, and prove the answer."""
        rows: Any = np.asarray(self.places(outline, at, turn), float)
        self._hold(
            rows.ndim == 2 and rows.shape[1] == 3 and len(rows) and np.isfinite(rows).all(),
            "places are rows of three numbers",
        )
        return np.asarray(rows, float)


KINDS: dict[str, type[Strategy]] = {
    k.kind: k for k in (Entry, Passes, Cover, Bridges, Lead, Corners, Cycle, Route, Slotting, Layout)
}
"""Every kind, by its word."""
