"""Which sizes of a drawing are measured: over all, openings and gaps, holes, distances of centers, in this order.

Not among them: radii and chamfers (their limits have a table of their own), depths, angles, curves without a straight wall.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from attrs import evolve

from kerfwright.drawing import Drawing, RoundHole
from kerfwright.inspecting.distances import distances
from kerfwright.inspecting.outlines import gaps, openings, overall
from kerfwright.inspecting.size import Size, few

__all__ = ["smallest", "to_measure"]


def to_measure(drawing: Drawing, only: Collection[int] | None = None) -> tuple[Size, ...]:
    """Of many alike a few, evenly picked from front left to back right; `only` are indices of outlines that count.

    A hole's diameter is measured along X and along Y by turns.
    """
    holes = _holes(drawing, only)
    picked = [one for some in _alike(_outlines(drawing, only)) for one in few(some)]
    for some in _alike([_hole(k, hole) for k, _, hole in holes]):
        for n, one in enumerate(few(some)):
            picked.append(_turned(one) if n % 2 else one)
    return (*picked, *distances(holes))


def smallest(drawing: Drawing) -> Size | None:
    """The smallest size that is measured, None where there is none."""
    return min(to_measure(drawing), key=lambda s: s.nominal, default=None)


def _outlines(drawing: Drawing, only: Collection[int] | None) -> list[Size]:
    out: list[Size] = []
    for k, loop in enumerate(drawing.loops):
        if only is not None and k not in only:
            continue
        if loop.depth % 2 == 0:
            out += [*overall(loop, k), *gaps(loop, k)]
        elif loop.circle is None:
            out += openings(loop, k)
    order = ("over all", "disc", "opening", "gap")
    return sorted(out, key=lambda s: order.index(s.noun))


def _holes(drawing: Drawing, only: Collection[int] | None) -> list[tuple[int, int, RoundHole]]:
    return [
        (k, loop.parent, hole)
        for k, loop in enumerate(drawing.loops)
        if loop.depth % 2 and (only is None or k in only) and (hole := loop.circle) is not None
    ]


def _hole(k: int, hole: RoundHole) -> Size:
    r = hole.diameter / 2
    ends = ((hole.x - r, hole.y), (hole.x + r, hole.y))
    return Size("inside", "hole", hole.diameter, 0.0, ends, (k,))


def _turned(one: Size) -> Size:
    (x, y), r = one.middle, one.nominal / 2
    return evolve(one, along=90.0, ends=((x, y - r), (x, y + r)))


def _alike(some: Sequence[Size]) -> list[list[Size]]:
    """Those of one noun, size and direction together, each in rows from front left to back right."""
    of: dict[tuple[str, float, float], list[Size]] = {}
    for one in some:
        of.setdefault((one.noun, round(one.nominal, 2), round(one.along, 2)), []).append(one)
    groups = [sorted(v, key=lambda s: (round(s.middle[1], 2), round(s.middle[0], 2))) for v in of.values()]
    return [[evolve(s, alike=len(group)) for s in group] for group in groups]
