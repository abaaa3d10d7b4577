"""What the cuts free from the sheet, and since when."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Ints
from kerfwright.evidence import Cutting, Evidence
from kerfwright_plugins.checks.target import target

__all__ = ["DUST", "Free", "free", "groups", "level_of", "since"]

DUST = 0.02
"""What has no room for a disc of this radius is dust (mm): cusps and slivers between two laps of a cutter."""


@define(frozen=True, eq=False)
class Free:
    """A chunk of sheet that no material links to the rest: its plan, the pieces that lie in it, whether a keepout (a screw)
    stands in it, and the cuts around it (None where it was cut off at the sheet's edge).
    """

    plan: shapely.Polygon
    pieces: tuple[int, ...]
    fixed: bool
    around: Cutting | None


def level_of(evidence: Evidence) -> float:
    """Just above the underside where the sheet is thinnest: all that stands higher stands over what stands there."""
    return evidence.setup.heights.underside + 0.005


def free(evidence: Evidence) -> list[Free]:
    """Every hole of a cluster of touching sweeps is a chunk cut free; and what is cut off at the edge of the sheet."""
    cut = evidence.at(level_of(evidence))
    if not len(cut):
        return []
    sweeps = cut.sweeps()
    group = groups(sweeps)
    gone = joined(sweeps, group)
    stock = evidence.setup.stock
    plans: list[shapely.Polygon] = []
    arounds: list[Cutting | None] = []
    for k, area in enumerate(gone):
        holes = [shapely.Polygon(h) for part in shapely.get_parts(area) for h in part.interiors]
        if holes:
            around = cut.take(group == k)
            plans += holes
            arounds += [around] * len(holes)
    edge = shapely.intersects(gone, stock.exterior)
    if edge.any():
        solid = [shapely.Polygon(p.exterior) for p in shapely.get_parts(gone[edge])]
        rest = shapely.get_parts(shapely.difference(stock, shapely.union_all(solid)))
        rest = rest[np.argsort(-shapely.area(rest))][1:]
        plans += list(rest)
        arounds += [None] * len(rest)
    if not plans:
        return []
    areas = np.array(plans, object)
    thick = shapely.length(shapely.maximum_inscribed_circle(areas, 0.005)) > DUST
    return list(_named(evidence, areas, arounds, thick))


def _named(evidence: Evidence, areas: Any, arounds: list[Cutting | None], thick: Any) -> Iterable[Free]:
    slabs = evidence.shared(target).slabs
    keep = slabs[-1].keep if slabs else np.zeros(0, object)
    inside: list[list[int]] = [[] for _ in areas]
    i, k = shapely.STRtree(keep).query(areas, predicate="intersects")
    solid = shapely.area(shapely.intersection(areas[i], keep[k])) > 0.5 * shapely.area(keep[k])
    for a, b in zip(i[solid].tolist(), k[solid].tolist()):
        inside[a].append(b)
    screws = [shapely.buffer(area, -0.01) for area, _ in evidence.setup.keepouts]
    for n in np.flatnonzero(thick).tolist():
        fixed = any(shapely.covers(areas[n], one) for one in screws)
        yield Free(areas[n], tuple(inside[n]), fixed, arounds[n])


def groups(sweeps: Any) -> Ints:
    """Number of the cluster that each sweep belongs to: sweeps that touch are one."""
    a, b = shapely.STRtree(sweeps).query(sweeps, predicate="intersects")
    root = np.arange(len(sweeps))
    while True:  # the smallest neighbour wins; paths are halved, so few rounds are needed
        new = root.copy()
        np.minimum.at(new, a, root[b])
        new = new[new]
        if (new == root).all():
            break
        root = new
    number: Ints = np.unique(root, return_inverse=True)[1].astype(np.int64)
    return number


def joined(sweeps: Any, group: Ints) -> Any:
    """Union of the sweeps of each group, in one call over a padded table."""
    order = np.argsort(group, kind="stable")
    count = np.bincount(group)
    table = np.full((len(count), int(count.max())), None, object)
    column = np.arange(len(order)) - np.repeat(np.cumsum(count) - count, count)
    table[group[order], column] = sweeps[order]
    return shapely.union_all(table, axis=1)


def since(one: Free) -> int | None:
    """The move after which a chunk was free, found by halving; None where it was cut off at the sheet's edge."""
    if one.around is None:
        return None
    moves, spot = np.unique(one.around.last), one.plan.representative_point()

    def enclosed(move: int) -> bool:
        part = one.around.take(one.around.last <= move).swept() if one.around is not None else shapely.Polygon()
        return any(shapely.contains(shapely.Polygon(h), spot) for p in shapely.get_parts(part) for h in p.interiors)

    lo, hi = 0, len(moves) - 1
    while lo < hi:
        mid = (lo + hi) // 2
        lo, hi = (lo, mid) if enclosed(int(moves[mid])) else (mid + 1, hi)
    return int(moves[lo])
