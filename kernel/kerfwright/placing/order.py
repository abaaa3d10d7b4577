"""What lies inside an outline is cut before it. Another order is refused, never silently changed."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from kerfwright.arrays import Ints
from kerfwright.drawing import Loop
from kerfwright.operation import Pocket
from kerfwright.placing.filled import Shapes
from kerfwright.setup import Piece, Work

__all__ = ["inside", "rank_faults"]


def inside(loops: Sequence[Loop]) -> Ints:
    """Rows (k, 2): for every loop that lies inside another one, at any depth, its index and that of the other.

    The loops neither cross nor touch; they may be of several pieces.

    >>> from kerfwright.curve import Curve
    >>> inside([Loop(Curve.circle(0, 0, 5)), Loop(Curve.circle(1, 0, 1))]).tolist()
    [[1, 0]]
    """
    if not loops:
        return np.zeros((0, 2), np.int64)
    return _inside(np.array([v.curve.polygon(0.01) for v in loops], object), loops)


def _inside(areas: NDArray[np.object_], loops: Sequence[Loop]) -> Ints:
    size = shapely.area(areas)
    tree = shapely.STRtree(areas)
    some = shapely.points([v.curve.start[:2] for v in loops])
    a, b = tree.query(some, predicate="within")
    keep = (a != b) & (size[b] > size[a])
    rows = np.column_stack([a[keep], b[keep]]).astype(np.int64)
    return np.asarray(rows[np.lexsort((rows[:, 1], rows[:, 0]))], np.int64)


def rank_faults(pieces: Sequence[Piece], shapes: Shapes, works: Sequence[Work]) -> list[tuple[str, str]]:
    """Faults (path, message) where an operation works inside an outline that an earlier one has cut through, cuts through
    a finished outline a second time, or leaves an allowance on one. A pocket with a smaller cutter may come after one with
    a bigger.
    """
    if not pieces:
        return []
    first = np.cumsum([0, *(len(p.loops) for p in pieces)])
    total = int(first[-1])
    through = np.full(total, len(works))
    finished = through.copy()
    last = np.full(total, -1)
    faults: list[tuple[str, str]] = []
    told: set[tuple[int, int, str]] = set()
    flats = [{int(first[p]) + i for p, i in work.loops} for work in works]
    for k, work in enumerate(works):
        faults += _too_late(pieces, first, works, work, through)
        flat = np.array([first[p] + i for p, i in work.loops], np.int64)
        last[flat] = k
        leaves = not work.operation.finishes
        for i in flat[finished[flat] < len(works)].tolist() if work.operation.pierces or leaves else []:
            before = works[finished[i]]
            if _clears_again(work, before) and not leaves:
                continue
            key = (k, int(finished[i]), _part(pieces, first, i)[0])
            if key not in told:
                told.add(key)
                what = "leaves an allowance on" if leaves else "cuts through"
                done = "finished" if leaves else "cut through"
                faults.append((work.path, f"{what} {_named(pieces, first, i)}, which {before.path} has {done} already"))
        if work.operation.through:
            finished[flat] = np.minimum(finished[flat], k)
        if work.operation.pierces:
            through[flat] = np.minimum(through[flat], k)
    rows = _inside(np.concatenate(shapes), [v for p in pieces for v in p.loops])
    for a, b in rows[last[rows[:, 0]] > through[rows[:, 1]]].tolist():
        late, early = works[last[a]], works[through[b]]
        if _clears_again(late, early) and b in flats[last[a]]:
            continue
        key = (int(last[a]), int(through[b]), _part(pieces, first, b)[0] + " around")
        if key not in told:
            told.add(key)
            allowed = (
                f"a skin in {early.path} too, or none in {late.path}: a skin is cut after all that has none"
                if late.last and not early.last
                else f"{late.path} first, or both in one operation, which cuts from the inside out"
            )
            if not early.operation.finishes:
                allowed = f"an allowance at the bottom too in {early.path}, or {allowed}"
            faults.append(
                (
                    late.path,
                    f"works on {_named(pieces, first, a)}, which lies inside {_named(pieces, first, b)} that {early.path} "
                    f"has cut through before; allowed: {allowed}",
                )
            )
    return faults


def _clears_again(work: Work, before: Work) -> bool:
    """Whether a pocket takes with a smaller cutter what an earlier one could not reach."""
    some = work.operation, before.operation
    return all(isinstance(o, Pocket) for o in some) and some[0].cutter.cuts < some[1].cutter.cuts


def _too_late(
    pieces: Sequence[Piece], first: Ints, works: Sequence[Work], work: Work, through: Ints
) -> list[tuple[str, str]]:
    """The same for what stands on a piece without an outline of its own (text): one fault a part."""
    out: dict[str, tuple[str, str]] = {}
    for p, piece in enumerate(pieces):
        stands = work.operation.on(piece.part) or any(p == k for k, _ in work.lines)
        own = np.arange(first[p], first[p + 1]) if stands else np.zeros(0, np.int64)
        cut = [i for i in own.tolist() if through[i] < len(works) and piece.loops[i - int(first[p])].depth == 0]
        if cut:
            before = works[int(through[cut[0]])].path
            text = f"works on part {piece.part!r}, which {before} has cut out before; allowed: {work.path} first"
            out.setdefault(piece.part, (work.path, text))
    return list(out.values())


def _part(pieces: Sequence[Piece], first: Ints, flat: int) -> tuple[str, int, int]:
    p = int(np.searchsorted(first, flat, side="right")) - 1
    return pieces[p].part, pieces[p].copy, flat - int(first[p])


def _named(pieces: Sequence[Piece], first: Ints, flat: int) -> str:
    part, copy, k = _part(pieces, first, flat)
    p = int(np.searchsorted(first, flat, side="right")) - 1
    x0, y0, x1, y1 = pieces[p].loops[k].curve.bounds
    kind = "inner" if pieces[p].loops[k].depth % 2 else "outer"
    return (
        f"the {kind} outline of {x1 - x0:.4g} x {y1 - y0:.4g} mm at ({round(x0, 3) + 0.0:g}, {round(y0, 3) + 0.0:g}) "
        f"of part {part!r} copy {copy}"
    )
