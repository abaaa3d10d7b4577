"""What the programs leave of what must go: distances at the walls, areas in pockets, and the stretches left for bridges."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import Any

import numpy as np
import shapely
from attrs import define, frozen

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.evidence import Alike, Cutting, Evidence
from kerfwright.reaching import step
from kerfwright_plugins.checks.target import CLOSE, Held, Must, target
from kerfwright_plugins.checks.uncovered import uncovered

__all__ = ["Remain", "Remains", "Standing", "remains", "short_of"]

WIDER = 0.3
"""How much wider (mm) than declared a bridge may be where it crosses a pocket."""
FAR = 1000.0
"""Told as the distance (mm) where nothing at all was cut."""
EVEN = 0.0003
"""Distances that differ by less than this (mm) at the ends of a stretch tell those between."""


@frozen
class Remain:
    """Material left of one `must`: how far the sweep must grow (mm), where, and in how many places.

    `rises`: where the cut is there but not deep enough, Z that it reaches; None where it is missing at every depth.
    """

    must: Must
    distance: float
    at: tuple[float, float, float]
    rises: float | None


@frozen
class Standing:
    """A stretch of a wall (mm along it) left under a declared bridge's top, its middle, and the wall there and a radius
    farther on both sides.
    """

    must: Must
    length: float
    at: tuple[float, float]
    wall: shapely.LineString


@define(frozen=True, eq=False)
class Remains:
    """`worst` (pieces,) distance in mm, bridges excepted; what is left; what stands for bridges; cuts that go through by
    less than the breakthrough: their musts, and Z reached.
    """

    worst: Floats
    left: list[Remain]
    standing: list[Standing]
    shallow: list[tuple[Must, float]]


def short_of(cut: Cutting, points: Floats) -> Floats:
    """How far the sweep must grow to touch points (m, 2): negative inside it, 1000 where there is no sweep."""
    out = np.full(len(points), FAR)
    at = shapely.points(points)
    for r in cut.sizes:
        tree = cut.tree if len(cut.sizes) == 1 else shapely.STRtree(cut.lines[cut.radius == r])
        (which, _), d = tree.query_nearest(at, return_distance=True, all_matches=False)
        out[which] = np.minimum(out[which], d - r)
    return out


def remains(evidence: Evidence) -> Remains:
    """Worked out at the bottom of each operation, where sweeps are smallest, and at the tops of its bridges."""
    found = Remains(np.zeros(len(evidence.setup.pieces)), [], [], [])
    by_level: dict[float, list[Must]] = defaultdict(list)
    for must in evidence.shared(target).musts:
        by_level[must.floor + (0.01 if must.through else CLOSE)].append(must)
    for must in evidence.shared(target).musts:
        if not len(must.wall):  # no cutter of this size gets in, so none of it can be proved to be gone
            x, y = evidence.setup.pieces[must.piece].loops[max(must.loop, 0)].curve.start[:2].tolist()
            found.left.append(Remain(must, FAR, _round((x, y, must.floor)), None))
            found.worst[must.piece] = FAR
    for level, musts in by_level.items():
        points, ring, owner, vertex = _samples(musts)
        short = _short_alike(evidence.at(level), points, ring, vertex)
        bad = short > CLOSE
        for k in np.unique(owner[bad]).tolist():
            mine = slice(*np.searchsorted(owner, [k, k + 1]).tolist())
            short[mine] = _explain(evidence, musts[k], points[mine], ring[mine], short[mine], found)
        piece = np.array([m.piece for m in musts])[owner]
        np.maximum.at(found.worst, piece, short)
        for must in musts:
            if must.area is not None:
                _areas(evidence, must, level, found)
    return found


def _short_alike(cut: Cutting, points: Floats, ring: Ints, vertex: Bools) -> Floats:
    """`short_of` samples along rings, or no less where none of an edge is short; its worst is true. Where places look alike
    it is asked once, and what is short is asked anew. `vertex` marks the samples at which edges begin.
    """
    if not len(points) or not len(cut):
        return np.full(len(points), FAR)
    begin = np.flatnonzero(np.append(True, np.diff(ring) > 0))
    within = np.arange(len(points)) - begin[np.cumsum(np.append(False, np.diff(ring) > 0))]
    head = np.flatnonzero(within % 16 == 0)
    strand = np.cumsum(within % 16 == 0) - 1
    order = np.argsort(np.concatenate([strand, np.arange(len(head))]), kind="stable")
    both = np.vstack([points, points[head]])[order]  # its first point again: a line has two points at least
    walls = shapely.linestrings(both, indices=np.concatenate([strand, np.arange(len(head))])[order])
    reach = np.append(cut.radius + 2 * CLOSE, np.zeros(len(walls)))
    alike = Alike.of(np.concatenate([cut.lines, walls]), reach, np.append(cut.radius, np.full(len(walls), -1.0)))
    n = len(cut)
    asked = alike.chosen[n:][strand]
    short = np.full(len(points), FAR)
    # what is not asked parts the others; so does the end of a ring
    broken = asked != np.roll(asked, 1)
    ends = vertex | broken | np.roll(broken, -1) | (ring != np.roll(ring, -1))
    short[asked] = _short_along(cut, points[asked], ends[asked])
    model = alike.order[alike.begin[alike.model[alike.group[n:]]] + alike.place[n:]] - n
    every: Floats = np.take(short, head[model[strand]] + np.arange(len(points)) - head[strand])
    bad = (every > CLOSE) & ~asked
    every[bad] = short_of(cut, points[bad])
    return every


def _short_along(cut: Cutting, points: Floats, known: Bools) -> Floats:
    """`short_of` points in order, asked at those marked `known` first, and at some between. The distance to one straight line
    bends outwards along a straight edge: where both ends are nearest to the same line and about as far from it, no point
    between them is farther than in proportion.
    """
    head = np.flatnonzero(known | (np.arange(len(points)) % 16 == 0))
    if len(cut.sizes) != 1 or 2 * len(head) > len(points):
        return short_of(cut, points)
    (_, line), d = cut.tree.query_nearest(shapely.points(points[head]), return_distance=True, all_matches=False)
    short = d - cut.sizes[0]
    straight = shapely.get_num_coordinates(cut.lines[line]) == 2
    sure = np.zeros(len(head), bool)
    change = np.diff(short)
    sure[:-1] = (
        straight[:-1] & (line[:-1] == line[1:]) & (np.abs(change) < EVEN) & (np.maximum(short[:-1], short[1:]) <= CLOSE)
    )
    of = np.searchsorted(head, np.arange(len(points)), side="right") - 1
    part = (np.arange(len(points)) - head[of]) / np.diff(head, append=len(points))[of]
    out: Floats = short[of] + part * np.append(change, 0.0)[of]
    rest = ~sure[of]
    rest[head] = False
    out[rest] = short_of(cut, points[rest])
    return out


def _samples(musts: list[Must]) -> tuple[Floats, Ints, Ints, Bools]:
    """Points (m, 2) along the walls, the ring and the must of each, and whether it is a vertex of the wall."""
    points, ring, owner, n = [np.zeros((0, 2))], [np.zeros(0, np.int64)], [np.zeros(0, np.int64)], 0
    vertex = [np.zeros(0, np.bool_)]
    for k, must in enumerate(musts):
        if not len(must.wall):
            continue
        p, i = shapely.get_coordinates(must.wall, return_index=True)
        inner = np.diff(i) == 0  # the last point of a ring is its first
        p, way, i = p[:-1][inner], np.diff(p, axis=0)[inner], i[:-1][inner]
        each = np.maximum(np.ceil(np.hypot(*way.T) / step(must.radius)), 1).astype(np.int64)
        begin = np.cumsum(each) - each
        f = (np.arange(int(each.sum())) - np.repeat(begin, each)) / np.repeat(each, each)
        points.append(np.repeat(p, each, axis=0) + f[:, None] * np.repeat(way, each, axis=0))
        vertex.append(f == 0)
        ring.append(np.repeat(i, each) + n)
        owner.append(np.full(len(f), k))
        n += len(must.wall)
    return np.vstack(points), np.concatenate(ring), np.concatenate(owner), np.concatenate(vertex)


def _explain(evidence: Evidence, must: Must, points: Floats, ring: Ints, short: Floats, found: Remains) -> Floats:
    """Sort what is left of one wall into bridges, a breakthrough that is too small, and leftovers; what counts of it."""
    bad = short > CLOSE
    if must.held is not None:
        top = evidence.setup.heights.bridge_top(must.held.thickness)
        above = short_of(evidence.at(top + 0.01), points[bad])
        excused = np.zeros(len(bad), bool)
        excused[np.flatnonzero(bad)[above <= CLOSE]] = True
        for lap, i, j in _stretches(excused, ring):
            p = points[lap[i:j]]
            length = float(np.hypot(*np.diff(p, axis=0).T).sum())
            # along a hollow wall a bridge is longer than along the cutter's way; its waist is measured elsewhere
            if length <= must.held.most(must.radius):
                more = math.ceil(must.radius / step(must.radius))
                wall = shapely.LineString(points[lap[np.arange(i - more, j + more) % len(lap)]])
                found.standing.append(
                    Standing(must, length, (float(p[len(p) // 2, 0]), float(p[len(p) // 2, 1])), wall)
                )
                short = short.copy()
                # the round end of a cut can be told from the wall it touches for two samples more
                short[lap[np.arange(i - 2, j + 2) % len(lap)]] = 0.0
        bad = short > CLOSE
    if must.through and bad.any():
        under = short_of(evidence.at(evidence.lowest + 0.001), points[bad])
        if (under <= CLOSE).all():
            found.shallow.append((must, _reached(evidence, must, points[bad])))
            short = short.copy()
            short[bad] = under
            bad = short > CLOSE
    if bad.any():
        k = int(np.argmax(short))
        # no sweep near at this depth: the cut is not deep enough; a sweep near: it does not reach so far to the side
        shallow = bool(short[k] > must.radius) and (must.held is None or 2 * int(bad.sum()) > len(bad))
        rises = _reached(evidence, must, points[bad]) if shallow else np.inf
        at = (float(points[k, 0]), float(points[k, 1]), must.floor)
        found.left.append(Remain(must, float(short[k]), _round(at), rises if np.isfinite(rises) else None))
    return short


def _reached(evidence: Evidence, must: Must, points: Floats) -> float:
    """Z that is reached at the points: the highest of all; where bridges are declared, the middle one. inf for none."""
    course = evidence.course
    z = np.unique(np.round(course.b[course.known, 2] + course.point[course.known], 3))
    reached = np.full(len(points), np.inf)
    for level in z[(z < must.start - 0.01) & (z > must.floor - 0.01)].tolist():
        left = np.flatnonzero(np.isinf(reached))
        if not len(left):
            break
        reached[left[short_of(evidence.at(level + 0.001), points[left]) <= CLOSE]] = level
    return float(reached.max() if must.held is None else np.median(reached))


def _stretches(on: Bools, ring: Ints) -> list[tuple[Ints, int, int]]:
    """Runs of marked samples along closed rings: the ring's samples as indices in order, and the run's first and end."""
    out: list[tuple[Ints, int, int]] = []
    for one in np.unique(ring[on]).tolist():
        k = np.flatnonzero(ring == one)
        k = np.roll(k, -int(np.argmin(on[k])))
        edges = [0, *(np.flatnonzero(np.diff(on[k].astype(int)) != 0) + 1).tolist(), len(k)]
        out += [(k, a, b) for a, b in zip(edges, edges[1:]) if on[k[a]]]
    return out


def _areas(evidence: Evidence, must: Must, level: float, found: Remains) -> None:
    """What stands inside a pocket: the sweeps, leave it."""
    left = uncovered(must.area, evidence.at(level).near(must.area))
    if must.held is not None and len(left):
        limit = must.held.most(must.radius)
        above = evidence.at(evidence.setup.heights.bridge_top(must.held.thickness) + 0.01).near(must.area)
        b = shapely.bounds(left)
        small = np.maximum(b[:, 2] - b[:, 0], b[:, 3] - b[:, 1]) <= limit
        small |= _across(evidence, must, must.held, left)
        over = shapely.union_all(above.sweeps(0.002)) if len(above) else shapely.Polygon()
        left = left[~(small & shapely.is_empty(shapely.difference(left, over)))]
    if not len(left):
        return
    inner = shapely.get_coordinates(shapely.line_interpolate_point(shapely.maximum_inscribed_circle(left), 0))
    points: Any = np.vstack([shapely.get_coordinates(left), inner])
    short = short_of(evidence.at(level), points)
    k = int(np.argmax(short))
    found.worst[must.piece] = max(found.worst[must.piece], short[k])
    if short[k] > CLOSE and not any(r.must is must for r in found.left):
        rises = _reached(evidence, must, points[short > CLOSE]) if short[k] > must.radius else np.inf
        at = (float(points[k, 0]), float(points[k, 1]), must.floor)
        found.left.append(Remain(must, float(short[k]), _round(at), rises if np.isfinite(rises) else None))


def _across(evidence: Evidence, must: Must, held: Held, left: Any) -> Bools:
    """Which polygons (n,) are bridges across a pocket, however far: strips from what is held, no wider than declared but
    for the fillets that a round cutter leaves where they meet walls.
    """
    outlines = evidence.shared(target).outlines[must.piece]
    islands = [outlines[k] for p, k in must.work.bridges if p == must.piece]
    box = shapely.oriented_envelope(left)
    side = np.array([_sides(b) for b in box]).reshape(-1, 2).min(1)
    fat = shapely.buffer(left, -(held.widest + WIDER) / 2, quad_segs=2)
    walls = shapely.buffer(must.wall, must.radius + held.widest, quad_segs=8)
    slim = shapely.is_empty(shapely.difference(fat, shapely.union_all(walls)))
    near = shapely.distance(left[:, None], np.array(islands, object)[None]).min(1, initial=np.inf) < CLOSE
    return np.asarray(slim & near & (side <= held.most(must.radius)), np.bool_)


def _sides(box: shapely.Geometry) -> tuple[float, float]:
    p = shapely.get_coordinates(box)
    return (float(np.hypot(*(p[1] - p[0]))), float(np.hypot(*(p[2] - p[1])))) if len(p) > 3 else (0.0, 0.0)


def _round(p: tuple[float, ...]) -> tuple[float, float, float]:
    x, y, z = (round(v, 3) + 0.0 for v in p)
    return x, y, z
