"""No cut into what must stay. A gouge is a distance: no union and no area, so nothing hides in a tolerance of areas."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Any

import numpy as np
import shapely
from attrs import define, frozen

from kerfwright.arrays import Floats, Ints
from kerfwright.evidence import Alike, Cutting, Evidence
from kerfwright.finding import Check, Finding, Measured
from kerfwright_plugins.checks.bodies import passing
from kerfwright_plugins.checks.target import CLOSE, Slab, target

__all__ = ["Gouge"]


@frozen
class _Bite:
    piece: int
    depth: float
    at: tuple[float, float, float]
    first: int
    last: int


@define(frozen=True, eq=False)
class _Gouges:
    worst: Floats
    bites: list[_Bite]


@define(frozen=True, kw_only=True)
class Gouge(Check):
    """The center of the cutter keeps its radius from every wall, and never stands over a part.

    The distance told is how far the sweep must shrink, sideways or upwards, to leave the part alone.
    """

    name = "gouge"
    remedy = "do not run it; undo the edit, or make the program anew"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each piece and depth that is cut into by more than 0.005 mm."""
        for work in evidence.shared(target).unknown:
            yield Finding(
                self.name,
                "error",
                f"what the operation {work.path} must leave standing is not known, so it is not proved",
            )
        for bite in evidence.shared(_gouges).bites:
            piece = evidence.setup.pieces[bite.piece]
            file, line = evidence.course.where(evidence.course.nearest(*bite.at[:2], bite.first, bite.last))
            yield Finding(
                self.name,
                "error",
                f"{piece.part}, copy {piece.copy}, is cut into by {bite.depth:.3f} mm",
                bite.at,
                file,
                line,
            )

    def measure(self, evidence: Evidence) -> Iterable[Measured]:
        """The worst of each piece, fine or not."""
        for piece, worst in enumerate(evidence.shared(_gouges).worst.tolist()):
            yield Measured(piece, gouge=worst)


def _gouges(evidence: Evidence) -> _Gouges:
    worst, bites = np.zeros(len(evidence.setup.pieces)), []
    wanted = evidence.shared(target)
    beside: set[tuple[int, float]] = set()
    for one in wanted.taken:
        keep = partial(wanted.kept, one.piece)
        beside |= {(one.piece, z + 0.0005) for z in passing(evidence, one, keep)}
    for slab in [*wanted.slabs, *(wanted.beside(*at) for at in sorted(beside))]:
        cut = evidence.at(slab.top - CLOSE - 0.001)
        for bite in _bites(slab, cut):
            worst[bite.piece] = max(worst[bite.piece], bite.depth)
            if bite.depth > CLOSE:
                bites.append(bite)
    return _Gouges(worst, bites)


def _bites(slab: Slab, cut: Cutting) -> Iterable[_Bite]:
    """The worst of each piece under the top of a slab, where sweeps are largest."""
    walls, owner = _walls(slab.keep)
    if not len(cut) or not len(walls):
        return
    line, wall, away = _near(cut, walls)
    deep = cut.radius[line] - away
    piece, inside = owner[wall], np.zeros(len(line), bool)
    # a line that never comes near a wall may still lie in the middle of a part
    starts = shapely.get_point(cut.lines, 0)
    over, kept = shapely.STRtree(slab.keep).query(starts)
    shapely.prepare(slab.keep)
    within = shapely.intersects(slab.keep[kept], starts[over])
    over, kept = over[within], kept[within]
    if len(over):
        edge = shapely.boundary(slab.keep[kept])
        line, piece = np.append(line, over), np.append(piece, kept)
        wall = np.append(wall, np.full(len(over), -1))
        deep = np.append(deep, cut.radius[over] + shapely.distance(starts[over], edge))
        inside = np.append(inside, np.ones(len(over), bool))
    deep = np.minimum(deep, slab.top - cut.low[line])  # or the sweep is lifted
    for one in np.unique(piece).tolist():
        mine = np.flatnonzero(piece == one)
        k = int(mine[np.argmax(deep[mine])])
        n = int(line[k])
        spot = (
            shapely.get_point(cut.lines[n], 0)
            if inside[k]
            else shapely.get_point(shapely.shortest_line(cut.lines[n], walls[wall[k]]), 1)
        )
        at = (round(float(spot.x), 3), round(float(spot.y), 3), round(float(cut.low[n]), 3))
        yield _Bite(one, max(0.0, float(deep[k])), at, int(cut.first[n]), int(cut.last[n]))


def _near(cut: Cutting, walls: Any) -> tuple[Ints, Ints, Floats]:
    """Pairs of a line and a wall nearer than the radius, and their distance; places that look alike are measured once."""
    both = np.concatenate([cut.lines, walls])
    reach = np.append(cut.radius, np.zeros(len(walls)))
    alike = Alike.of(both, reach, np.append(cut.radius, np.full(len(walls), -1.0)))
    mine, theirs = np.flatnonzero(alike.chosen[: len(cut)]), np.flatnonzero(alike.chosen[len(cut) :])
    a, b = shapely.STRtree(walls[theirs]).query(cut.lines[mine], predicate="dwithin", distance=cut.radius[mine])
    line, wall = mine[a], theirs[b]
    line, wall, away = alike.spread(line, wall + len(cut), shapely.distance(cut.lines[line], walls[wall]))
    return line, wall - len(cut), away


def _walls(keep: Any) -> tuple[Any, Any]:
    """Walls of what stays as short open lines, and the piece of each."""
    parts, piece = shapely.get_parts(keep, return_index=True)
    solid = (shapely.get_type_id(parts) == 3) & ~shapely.is_empty(parts)
    rings, k = shapely.get_rings(parts[solid], return_index=True)
    if not len(rings):
        return np.zeros(0, object), np.zeros(0, np.int64)
    return cut_up(rings, piece[solid][k])


def cut_up(rings: Any, owner: Any, chords: int = 16) -> tuple[Any, Any]:
    """Rings as open lines of some chords each, and the owner of each line."""
    p, ring = shapely.get_coordinates(rings, return_index=True)
    first = np.flatnonzero(np.append(True, np.diff(ring) > 0))
    a = np.delete(np.arange(len(p)), np.append(first[1:], len(p)) - 1)  # starts of chords
    of = ring[a]
    count = np.bincount(of)
    within = np.arange(len(a)) - (np.cumsum(count) - count)[of]
    new = within % chords == 0
    k = np.cumsum(new) - 1
    points, index = np.empty((len(a) + k[-1] + 1, 2)), np.empty(len(a) + k[-1] + 1, np.int64)
    at = np.arange(len(a)) + k + 1
    points[at], index[at] = p[a + 1], k
    points[at[new] - 1], index[at[new] - 1] = p[a[new]], k[new]
    return shapely.linestrings(points, indices=index), owner[of[new]]
