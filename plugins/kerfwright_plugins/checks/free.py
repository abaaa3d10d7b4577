"""What the cuts free from the sheet, and since when."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Ints
from kerfwright.evidence import Alike, Cutting, Evidence, linked
from kerfwright_plugins.checks.hold import held, screwed, thick
from kerfwright_plugins.checks.target import target

__all__ = ["Free", "free", "level_of", "since"]

GROWN, COARSE = 0.002, 0.004
"""Sweeps are told apart only by whether they touch: chords within 0.004 mm will do, and the sweeps grow by half of that."""


@define(frozen=True, eq=False)
class Free:
    """A chunk of sheet that no material links to the sheet that is held: its plan, the pieces that lie in it, whether a
    keepout (a screw) stands in it, and the cuts around it (None where it was cut off at the sheet's edge).
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
    alike = Alike.of(cut.lines, cut.radius + GROWN, cut.radius)
    models = np.flatnonzero(alike.chosen)
    sweeps = cut.take(models).sweeps(GROWN, COARSE)
    number, group = np.unique(alike.group[models], return_inverse=True)
    gone = _joined(sweeps, group)
    parts, of = shapely.get_parts(gone, return_index=True)
    rings, k = shapely.get_rings(parts, return_index=True)
    inner = np.append(False, k[1:] == k[:-1])  # the first ring of a polygon is its outside
    holes, model = shapely.polygons(rings[inner]), number[of[k[inner]]]
    some = thick(holes)
    areas, cluster = _copied(alike, cut.lines, holes[some], model[some])
    arounds: list[Cutting | None] = [
        cut.take(alike.order[alike.begin[g] : alike.begin[g + 1]]) for g in cluster.tolist()
    ]
    rest = _cut_off(evidence, cut)
    return list(_named(evidence, np.concatenate([areas, rest]), [*arounds, *[None] * len(rest)]))


def _copied(alike: Alike, lines: Any, holes: Any, model: Ints) -> tuple[Any, Ints]:
    """The holes of models, moved to every cluster that looks like theirs; and the cluster of each."""
    pairs = [(h, g) for g, m in enumerate(alike.model.tolist()) for h in np.flatnonzero(model == m).tolist()]
    if not pairs:
        return np.zeros(0, object), np.zeros(0, np.int64)
    hole, cluster = np.array(pairs, np.int64).T
    corner = shapely.get_coordinates(shapely.get_point(lines[alike.order[alike.begin[:-1]]], 0))
    shift = corner[cluster] - corner[model[hole]]
    out = holes[hole]
    p, i = shapely.get_coordinates(out, return_index=True)
    return shapely.set_coordinates(out.copy(), p + shift[i]), cluster


def _cut_off(evidence: Evidence, cut: Cutting) -> Any:
    """What cuts that run off the sheet free at its edge: what stands there and is not held as the sheet."""
    stock = evidence.setup.stock
    over = cut.tree.query(stock.exterior, predicate="dwithin", distance=float(cut.radius.max()) + GROWN)
    if not len(over):
        return np.zeros(0, object)
    # all that touches those cuts counts too; holes are told already
    sweeps = cut.sweeps(GROWN, COARSE)
    a, b = shapely.STRtree(sweeps).query(sweeps, predicate="intersects")
    group = linked(len(sweeps), a, b)
    mine = np.isin(group, group[over])
    gone = shapely.get_parts(shapely.union_all(sweeps[mine]))
    rest = shapely.get_parts(shapely.difference(stock, shapely.union_all([shapely.Polygon(p.exterior) for p in gone])))
    rest = rest[thick(rest)]
    return rest[~held(evidence, rest)]


def _named(evidence: Evidence, areas: Any, arounds: list[Cutting | None]) -> Iterable[Free]:
    """Whose chunks they are: a point of what must stay of a piece lies in one."""
    slabs = evidence.shared(target).slabs
    inside: list[list[int]] = [[] for _ in areas]
    if slabs and len(areas):
        k, i = shapely.STRtree(areas).query(shapely.point_on_surface(slabs[-1].keep), predicate="intersects")
        for piece, chunk in zip(k.tolist(), i.tolist()):
            inside[chunk].append(piece)
    fixed = screwed(evidence, areas)
    for n, around in enumerate(arounds):
        yield Free(areas[n], tuple(inside[n]), bool(fixed[n]), around)


def _joined(sweeps: Any, group: Ints) -> Any:
    """Union of the sweeps of each group. Not in one call over a padded table: one long outline among many small ones would
    make it as wide as it is high.
    """
    order = np.argsort(group, kind="stable")
    some = np.split(order, np.cumsum(np.bincount(group))[:-1])
    out = np.empty(len(some), object)
    out[:] = [shapely.union_all(sweeps[k]) for k in some]
    return out


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
