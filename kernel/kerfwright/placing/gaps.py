"""Room around what is cut: no cut of one piece reaches another piece or a keepout, and none begins below material."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from attrs import define
from numpy.typing import NDArray

from kerfwright.operation import Drill, Pocket, Profile
from kerfwright.placing.filled import Shapes
from kerfwright.setup import Heights, Piece, Work
from kerfwright.shrinking import along, grown, shrunk

__all__ = ["begin_faults", "gap_faults", "region"]

SLIVER = 0.01
"""Standing material narrower than twice this (mm) does not count: chords and the round corners of an offset."""


@define(frozen=True, eq=False)
class _Thing:
    """What a cut must stay away from; `piece` is its index, -1 for a keepout."""

    piece: int
    name: str


def region(work: Work, piece: Piece, shapes: NDArray[np.object_]) -> shapely.Geometry:
    """What an operation takes from one piece's surroundings, in plan: the even-odd area of its loops, or the kerf along
    them, as a cutter of no corner radius would, without what it leaves at the side.
    """
    mine = [k for p, k in work.loops if p == piece.index]
    if not mine:
        return shapely.Polygon()
    if not isinstance(work.operation, Profile | Pocket | Drill):
        return shapely.Polygon()  # what it clears is told to the proof alone
    left = work.operation.allowance.side
    if not isinstance(work.operation, Profile):
        area = shapely.build_area(shapely.multilinestrings([shapes[k].exterior for k in mine]))
        return shrunk(area, left) if left else area
    cutter, bands = work.operation.cutter, []
    wide = cutter.cuts + left
    for k in mine:
        side = work.waste(piece.loops[k])
        if side == "line":
            bands.append(along(shapes[k], cutter.radius))
        elif side == "outside":
            bands.append(shapely.difference(grown(shapes[k], wide), grown(shapes[k], left) if left else shapes[k]))
        else:
            bands.append(shapely.difference(shrunk(shapes[k], left) if left else shapes[k], shrunk(shapes[k], wide)))
    return shapely.union_all(bands)


def gap_faults(
    pieces: Sequence[Piece],
    shapes: Shapes,
    areas: Sequence[shapely.Geometry],
    keepouts: Sequence[shapely.Geometry],
    works: Sequence[Work],
) -> list[tuple[str, str]]:
    """Faults (path, message) where an operation would cut another piece, or enter a keepout."""
    things = [_Thing(p.index, f"part {p.part!r} copy {p.copy}") for p in pieces]
    things += [_Thing(-1, f"sheet.keepout[{k}]") for k in range(len(keepouts))]
    standing = np.array([*areas, *keepouts], object)
    tree = shapely.STRtree(standing)
    faults: list[tuple[str, str]] = []
    for work in works:
        find = _beside if isinstance(work.operation, Profile) else _within
        told: set[tuple[str, str]] = set()
        for p, k, message in find(work, pieces, shapes, tree):
            one, other = things[p], things[k]
            key = pieces[p].part, other.name if other.piece < 0 else pieces[other.piece].part
            if k == p or key in told or shapely.intersects(standing[p], standing[k]):
                continue
            told.add(key)
            faults.append((work.path, f"would cut into {other.name}, {message} {one.name}"))
    return faults


def _beside(
    work: Work, pieces: Sequence[Piece], shapes: Shapes, tree: shapely.STRtree
) -> Iterator[tuple[int, int, str]]:
    loops = [pieces[p].loops[k] for p, k in work.loops]
    around = np.array([shapes[p][k] for p, k in work.loops], object)
    lines = shapely.get_exterior_ring(around)
    sides = [work.waste(v) for v in loops]
    cutter = work.operation.cutter
    wide = cutter.cuts + work.operation.allowance.side
    kerf = np.array([cutter.radius if s == "line" else wide for s in sides])
    for i, k in tree.query(lines, predicate="dwithin", distance=kerf - 1e-6).T.tolist():
        if work.loops[i][0] == k:
            continue
        thing = tree.geometries[k]
        within = shapely.contains_properly(around[i], shapely.point_on_surface(thing))
        if sides[i] == "line" or (sides[i] == "inside") == within:
            gap = shapely.distance(lines[i], thing)
            yield work.loops[i][0], k, f"{gap:.4g} mm from an outline with a kerf of {kerf[i]:g} mm, of"


def _within(
    work: Work, pieces: Sequence[Piece], shapes: Shapes, tree: shapely.STRtree
) -> Iterator[tuple[int, int, str]]:
    if not isinstance(work.operation, Pocket | Drill):
        return
    for p in sorted({p for p, _ in work.loops}):
        for k in sorted(tree.query(region(work, pieces[p], shapes[p]), predicate="intersects").tolist()):
            if k != p:
                yield p, k, "which lies in its area, of"


def begin_faults(
    heights: Heights, pieces: Sequence[Piece], shapes: Shapes, works: Sequence[Work]
) -> list[tuple[str, str]]:
    """Faults (path, message) where `from` says that material begins lower than earlier operations have left it."""
    faults = []
    for n, work in enumerate(works):
        start = work.operation.start
        if start <= 0:
            continue
        for p in sorted({p for p, _ in work.loops}):
            left = region(work, pieces[p], shapes[p])
            for earlier in works[:n]:
                if heights.floor_of(earlier.operation) <= heights.at(start) + 1e-9:
                    left = shapely.difference(left, region(earlier, pieces[p], shapes[p]))
            left = shapely.buffer(left, -SLIVER)
            if not shapely.is_empty(left):
                at = shapely.point_on_surface(left)
                faults.append(
                    (
                        f"{work.path}.from",
                        f"found {start:g} mm, but at ({at.x:.4g}, {at.y:.4g}) material stands higher: no operation before "
                        f"it goes that deep there",
                    )
                )
                break
    return faults
