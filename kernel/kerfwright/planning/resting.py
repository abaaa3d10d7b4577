"""Rest regions: where a pocket still has work to do after earlier ones with other cutters have cleared its area."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.offset import offset
from kerfwright.operation import Pocket
from kerfwright.planning.congruence import shape_of
from kerfwright.planning.context import Context
from kerfwright.planning.held import Held
from kerfwright.planning.walls import regions
from kerfwright.setup import Work

__all__ = ["Before", "airy", "before", "named", "rest"]

HAIR = 0.001
"""What is thinner than twice this (mm) is not left: chords, and the ends of cusps where they run out along a wall."""
OVERLAP = 0.5
"""By how many radii the cuts of a rest reach over those before, so that no ridge stands where they meet."""
STARTS = 4
"""Starts in the air that are offered."""


@define(frozen=True, eq=False)
class Before:
    """Earlier pockets in one area: their works, their areas with islands (program frame), the radii of their cutters, and
    what they left at the side (mm).

    `key`: what areas with equal surroundings have in common.
    """

    works: tuple[Work, ...]
    areas: tuple[shapely.Polygon, ...]
    radii: tuple[float, ...]
    sides: tuple[float, ...]
    key: Hashable

    def cleared(self) -> shapely.Geometry:
        """All that their cutters have swept: each reaches all that it can from its center regions."""
        some = []
        for area, radius, side in zip(self.areas, self.radii, self.sides, strict=True):
            parts, _, _ = regions(np.array([area], object), radius + side)
            some += list(np.atleast_1d(offset(parts, radius)))
        return shapely.union_all(some)


def before(context: Context, rows: Sequence[int]) -> list[Before]:
    """For each of several outlines, pockets of earlier operations in its area: from the same height, and as deep or deeper.

    One that leaves bridges standing there is none of them: around those it has not cleared.
    """
    nest = context.nest
    out: list[list[tuple[Work, int, list[int]]]] = [[] for _ in rows]
    for one in context.setup.works[: context.setup.works.index(context.work)]:
        if not isinstance(one.operation, Pocket) or not _as_deep(context, one):
            continue
        bridged = {nest.row(key) for key in one.bridges}
        there = [(k, i) for k, i in nest.islands([nest.row(key) for key in one.loops]).items() if not bridged & {*i}]
        if there:
            tree = shapely.STRtree([nest.areas[k] for k, _ in there])
            pairs = tree.query(nest.areas[list(rows)], predicate="intersects")
            for n, k in sorted(pairs.T.tolist()):
                if nest.pieces[there[k][0]] == nest.pieces[rows[n]]:
                    out[n].append((one, *there[k]))
    return [_joined(context, row, some) for row, some in zip(rows, out, strict=True)]


def _joined(context: Context, row: int, some: Sequence[tuple[Work, int, list[int]]]) -> Before:
    nest, origin = context.nest, context.nest.loops[row].curve.nodes[0, :2]
    return Before(
        tuple(w for w, _, _ in some),
        tuple(shapely.Polygon(nest.areas[k].exterior, [nest.areas[i].exterior for i in inner]) for _, k, inner in some),
        tuple(w.operation.cutter.radius for w, _, _ in some),
        tuple(w.operation.allowance.side for w, _, _ in some),
        tuple((w.index, *[shape_of(nest.loops[i].curve, origin) for i in (k, *inner)]) for w, k, inner in some),
    )


def _as_deep(context: Context, earlier: Work) -> bool:
    """Whether an earlier work began no lower than this one and reached its floor."""
    op, floor = context.operation, context.setup.heights.floor_of(earlier.operation)
    return floor <= context.bottom + 1e-9 and earlier.operation.start <= op.start + 1e-9


def rest(
    region: shapely.Polygon, radius: float, cleared: shapely.Geometry, nodes: Floats
) -> tuple[list[shapely.Polygon], shapely.Geometry]:
    """Where in a center region a cutter of `radius` still takes something, in parts; and what is left there.

    A part holds every place of the center that what is left needs: all of it that the center can come to, and along the
    wall the stretch from which the rest of it is reached; both with an overlap. `nodes` (k, 2), of reliefs, stay in too.
    """
    left = shapely.difference(offset(region, radius), cleared)
    left = shapely.buffer(shapely.buffer(left, -HAIR, quad_segs=2), HAIR, quad_segs=2)
    wall = shapely.intersection(region.boundary, shapely.buffer(left, radius + HAIR, quad_segs=16))
    needed = [g for g in (left, wall, shapely.multipoints(nodes)) if not shapely.is_empty(g)]
    if not needed:
        return [], left
    wide = shapely.union_all(shapely.buffer(np.array(needed, object), OVERLAP * radius, quad_segs=16))
    parts = shapely.get_parts(shapely.intersection(region, wide))
    return [p for p in shapely.orient_polygons(parts) if shapely.area(p) > 0], left


def airy(cut: Curve, left: shapely.Geometry, radius: float, held: Held) -> Floats:
    """Lengths on a closed cut where the cutter touches nothing of what is left, nor a bridge: the clearest, well apart."""
    s = np.linspace(0.0, cut.length, max(16, int(np.ceil(4 * cut.length / radius))), endpoint=False)
    xy = cut.at(s)[0][:, :2]
    gap = np.round(shapely.distance(left, shapely.points(xy)) - radius, 6)
    if len(held):
        gap = np.where(held.gap(xy).min(1) > radius, gap, -1.0)
    found: list[float] = []
    while len(found) < STARTS and (gap > 0).any():
        found.append(float(s[int(np.argmax(gap))]))
        away = np.abs(s - found[-1])
        gap = np.where(np.minimum(away, cut.length - away) < cut.length / 8, -1.0, gap)
    return np.array(found)


def named(works: Sequence[Work]) -> str:
    """Their keys in the job file, each once."""
    return " and ".join(dict.fromkeys(w.path for w in works))
