"""What the sheet must become, from the drawing and the operations alone: what stays at each depth, what must go."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping
from functools import cached_property, partial
from typing import Any

import numpy as np
import shapely
from attrs import Factory, define, field

from kerfwright.arrays import Floats
from kerfwright.evidence import Evidence
from kerfwright.operation import Drill, Pocket, Profile
from kerfwright.setup import Piece, Setup, Work
from kerfwright.shrinking import along, opened
from kerfwright.spot import spots
from kerfwright.taking import Taking
from kerfwright_plugins.checks.bands import band, disc, rings, without
from kerfwright_plugins.checks.bodies import Taken, taken_of
from kerfwright_plugins.checks.faces import Faces, around, even_odd
from kerfwright_plugins.checks.relieved import relieved
from kerfwright_plugins.checks.wanted import CLOSE, Held, Must, Slab

__all__ = ["CLOSE", "Held", "Must", "Slab", "Target", "target"]

DUST = 1e-7
"""Less area than this (mm2) is none."""
CORE = (Profile, Pocket, Drill)
"""What is known here; all else is described by a `Taking`."""


@define(frozen=True, eq=False, slots=False)
class Target:
    """Worked out from a setup: loops, operations and heights. No plan, no offset, no strategy."""

    setup: Setup
    lowest: float
    takings: Mapping[str, Taking] = Factory(dict)
    _made: dict[Hashable, tuple[Floats, Any]] = field(default=Factory(dict), init=False, repr=False)

    @cached_property
    def _starts(self) -> list[Floats]:
        return [np.array([v.curve.start[:2] for v in p.loops]).reshape(-1, 2) for p in self.setup.pieces]

    def _copied(self, piece: Piece, what: Hashable, make: Callable[[], Any]) -> Any:
        """Geometries of a piece, made for the first copy of its part that is turned like it, and moved to the others."""
        starts = self._starts[piece.index]
        key = (piece.part, piece.turn, what)
        if key not in self._made:
            self._made[key] = (starts, make())
        there, out = self._made[key]
        shift = starts[0] - there[0]
        if np.abs(starts - there - shift).max() > 1e-9:
            return make()
        return shapely.transform(out, lambda p: p + shift) if shift.any() else out

    @cached_property
    def outlines(self) -> list[Any]:
        """Polygon of every loop, by piece; chords within 0.0005 mm."""
        return [self._copied(p, "outlines", partial(_polygons, p)) for p in self.setup.pieces]

    @cached_property
    def jobs(self) -> list[list[tuple[Work, int]]]:
        """The works on each piece, and the loop of each."""
        out: list[list[tuple[Work, int]]] = [[] for _ in self.setup.pieces]
        for work in self.setup.works:
            for piece, loop in work.loops:
                out[piece].append((work, loop))
        return out

    @cached_property
    def unknown(self) -> list[Work]:
        """Works whose operation this target does not know: nothing can be proved of them."""
        return [
            w for w in self.setup.works if not isinstance(w.operation, CORE) and w.operation.kind not in self.takings
        ]

    @cached_property
    def taken(self) -> list[Taken]:
        """What operations beyond the core take of each piece."""
        return [
            taken_of(self.setup, w, spot, self.takings[w.operation.kind])
            for w in self.setup.works
            if not isinstance(w.operation, CORE) and w.operation.kind in self.takings
            for spot in spots(self.setup, w)
        ]

    @cached_property
    def slabs(self) -> list[Slab]:
        """From the top down; what stays changes only at the floors of what does not go through."""
        tops = {self.floor(w) for w in self.setup.works} | {self.setup.heights.highest}
        tops |= {z for one in self.taken for z in one.heights}
        levels = sorted((z for z in tops if z > self.lowest + CLOSE), reverse=True)
        return [Slab(z, np.array([self._keep(p, z) for p in self.setup.pieces], object)) for z in levels]

    def beside(self, piece: int, level: float) -> Slab:
        """What stays of one piece at a height, as a slab that is cut there."""
        keep = np.full(len(self.setup.pieces), shapely.Polygon(), object)
        keep[piece] = self.kept(piece, level)
        return Slab(level + CLOSE + 0.001, keep)

    def kept(self, piece: int, level: float) -> shapely.Geometry:
        """What stays of one piece at a height."""
        return self._keep(self.setup.pieces[piece], level + CLOSE + 0.001)

    @cached_property
    def musts(self) -> list[Must]:
        """All that must go."""
        out: list[Must] = []
        for work in self.setup.works:
            by_piece: dict[int, list[int]] = defaultdict(list)
            for piece, loop in work.loops:
                by_piece[piece].append(loop)
            for piece, loops in by_piece.items():
                out += self._musts(work, piece, loops)
        for one in self.taken:
            for level, area in one.musts():
                r = max(one.work.operation.cutter.radius_at(level - one.floor), 0.5)  # how fine its walls are sampled
                top = self.setup.heights.highest
                out.append(Must(one.work, one.piece, -1, rings(area), area, r, top, level - CLOSE, False, None))
        return out

    def floor(self, work: Work) -> float:
        """Z that a work must reach."""
        op, h = work.operation, self.setup.heights
        if not isinstance(op, CORE):
            return min((one.floor for one in self.taken if one.work is work), default=h.highest)
        if op.depth is not None:
            return h.at(op.depth) + op.allowance.bottom
        return h.underside + op.allowance.bottom if op.allowance.bottom else h.floor

    def held(self, piece: int, loop: int) -> Held | None:
        """Bridges declared on an outline by any operation that cuts it."""
        for work in self.setup.works:
            said = work.bridges.get((piece, loop))
            if said is not None:
                thin = self.setup.heights.highest - self.setup.heights.underside
                thick = min(float(said.thickness), thin)
                slope = math.radians(float(getattr(said, "slope", 0.0)))  # of the flanks; 0 is square
                deep = self.setup.heights.bridge_top(thick) - self.setup.heights.floor
                return Held(float(said.width), thick, deep / math.tan(slope) if slope > 0 else 0.0)
        return None

    @cached_property
    def faces(self) -> list[Faces]:
        """The faces of each piece, between the loops that a profile cuts through."""
        return [Faces(p, self.outlines[p.index], self._sides(p.index)) for p in self.setup.pieces]

    def _sides(self, piece: int) -> dict[int, str]:
        """Waste side of the loops of a piece that a profile cuts through."""
        loops = self.setup.pieces[piece].loops
        return {
            loop: work.waste(loops[loop])
            for work, loop in self.jobs[piece]
            if isinstance(work.operation, Profile) and self.floor(work) <= self.lowest + CLOSE
        }

    def _oversize(self, piece: int) -> dict[int, tuple[str, float]]:
        """Waste side of the loops of a piece that are cut through but never finished, and what stays there (mm)."""
        least: dict[int, float] = {}
        for work, loop in self.jobs[piece]:
            if isinstance(work.operation, Profile) and self.floor(work) <= self.lowest + CLOSE:
                least[loop] = min(least.get(loop, math.inf), work.operation.allowance.side)
        return {i: (self._sides(piece)[i], left) for i, left in least.items() if left > 0}

    def _keep(self, piece: Piece, top: float) -> shapely.Geometry:
        """What stays of a piece just under Z `top`."""
        k = piece.index
        polygons, gone = self.outlines[k], []
        below = [(w, i) for w, i in self.jobs[k] if self.floor(w) < top - CLOSE]
        pockets: dict[tuple[int, float], list[int]] = defaultdict(list)
        for work, loop in below:
            op, r, left = work.operation, work.operation.cutter.radius, work.operation.allowance.side
            if isinstance(op, Drill):
                gone.append(disc(piece, loop, self.bore(work, loop, piece)))
            elif isinstance(op, Pocket):
                pockets[work.index, self.floor(work)].append(loop)
            elif isinstance(op, Profile) and (side := work.waste(piece.loops[loop])) == "line":
                gone.append(along(polygons[loop], r))
            elif isinstance(op, Profile) and self.floor(work) > self.lowest + CLOSE:
                gone.append(band(polygons[loop], side, 2 * r, left))
            gone += list(self._relieved(work, k, loop))
        lefts = {w.index: w.operation.allowance.side for w, _ in below}
        gone += [without(even_odd(piece, polygons, loops), lefts[i]) for (i, _), loops in pockets.items()]
        widest = max((w.operation.cutter.cuts for w, _ in self.jobs[k]), default=1.0)
        keep = self.faces[k].keep(widest)
        level = top - CLOSE - 0.001  # where a slab is cut
        gone += [one.may(level) for one in self.taken if one.piece == k and one.floor < level]
        below_only = [
            band(polygons[i], "outside", w.operation.cutter.cuts + w.operation.allowance.side)
            for w, i in self.jobs[k]
            if isinstance(w.operation, Profile)
            and self.floor(w) >= top - CLOSE
            and i not in self.faces[k].sides
            and piece.loops[i].parent < 0
            and w.waste(piece.loops[i]) != "inside"
        ]  # what lies under a groove around a piece must stay too
        below_only += [band(polygons[i], side, left) for i, (side, left) in self._oversize(k).items()]
        keep = shapely.union_all([keep, *below_only]) if below_only else keep
        keep = shapely.difference(keep, shapely.union_all(gone)) if gone else keep
        parts = shapely.get_parts(keep)
        if len(parts) > 1:  # where two shapes share an edge, rounding leaves slivers of no area
            keep = shapely.multipolygons(parts[shapely.area(parts) > DUST])
        return keep

    def bore(self, work: Work, loop: int, piece: Piece) -> float:
        """Radius of a drilled hole: the cutter's, or the circle's where that is wider by more than the tolerance."""
        hole, r = piece.loops[loop].circle, work.operation.cutter.radius
        return hole.diameter / 2 if hole and hole.diameter - 2 * r > self.setup.job.allowed(hole.diameter) else r

    def _relieved(self, work: Work, k: int, loop: int) -> Any:
        """Reliefs of corners declared on a loop: of a wall that is finished."""
        piece = self.setup.pieces[k]
        if work.operation.allowance.side:
            return np.zeros(0, object)
        side = work.waste(piece.loops[loop])
        if isinstance(work.operation, Pocket):
            side = "outside" if around(piece, loop, {i for p, i in work.loops if p == k}) % 2 else "inside"
        return relieved(work.operation, piece.loops[loop], side, self.outlines[k])

    def _musts(self, work: Work, k: int, loops: list[int]) -> Iterable[Must]:
        op, piece, polygons = work.operation, self.setup.pieces[k], self.outlines[k]
        r, start, floor, left = op.cutter.radius, self.setup.heights.at(op.start), self.floor(work), op.allowance.side
        through = floor <= self.lowest + CLOSE
        if isinstance(op, Pocket):
            area = opened(without(even_odd(piece, polygons, loops), left), r)
            held = next((b for b in (self.held(k, i) for i in loops) if b), None)
            yield Must(work, k, -1, rings(area), area, r, start, floor, through, held, left)
        for loop in loops:
            notches = self._relieved(work, k, loop)
            if len(notches):
                yield Must(work, k, loop, rings(notches), None, r, start, floor, through, self.held(k, loop))
            if isinstance(op, Drill):
                bore = self.bore(work, loop, piece)
                area = disc(piece, loop, bore)
                yield Must(work, k, loop, rings(area), area if bore > r else None, r, start, floor, through, None)
            elif isinstance(op, Profile):
                side = work.waste(piece.loops[loop])
                if side == "line":
                    wall = rings(along(polygons[loop], r))
                else:
                    faces = self.faces[k]
                    what = ("wall", loop, side, r, left, frozenset(faces.sides.items()))
                    wall = self._copied(piece, what, partial(faces.wall, loop, side, r, left))
                yield Must(work, k, loop, wall, None, r, start, floor, through, self.held(k, loop), left)


def target(evidence: Evidence) -> Target:
    """The target of a sheet: ask through `evidence.shared`."""
    return Target(evidence.setup, evidence.lowest, evidence.takings)


def _polygons(piece: Piece) -> Any:
    return np.array([one.curve.polygon(0.0005) for one in piece.loops], object)
