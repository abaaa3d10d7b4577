"""Which sizes of a drawing are measured: over all, openings and gaps, holes, distances of centers, in this order.

Not among them: radii and chamfers (their limits have a table of their own), depths, angles, curves without a straight wall.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from attrs import evolve

from kerfwright.drawing import Drawing, RoundHole
from kerfwright.inspecting.distances import distances
from kerfwright.inspecting.outlines import gaps, openings, overall
from kerfwright.inspecting.size import Size, few

__all__ = ["to_measure"]


def to_measure(drawing: Drawing, waste: Mapping[int, str] | None = None) -> tuple[Size, ...]:
    """Of many alike a few, evenly picked from front left to back right. Holes are measured along X and along Y by turns, one
    that is alone both ways.

    `waste` says by the index of each outline that counts on which side of it material goes, `inside` or `outside`; left out
    all count, and it goes outside of even ones (0 outer) and inside of odd ones.
    """
    if waste is None:
        waste = {k: "inside" if loop.depth % 2 else "outside" for k, loop in enumerate(drawing.loops)}
    holes = _holes(drawing, waste)
    picked = [one for some in _alike(_outlines(drawing, waste)) for one in few(some)]
    for some in _alike([_hole(k, hole) for k, _, hole in holes]):
        for n, one in enumerate(few(some) if len(some) > 1 else [*some, *some]):
            picked.append(_turned(one) if n % 2 else one)
    return (*picked, *distances(holes))


def _outlines(drawing: Drawing, waste: Mapping[int, str]) -> list[Size]:
    out: list[Size] = []
    for k, loop in enumerate(drawing.loops):
        if waste.get(k) == "outside":
            out += [*overall(loop, k), *gaps(loop, k)]
        elif k in waste and loop.circle is None:
            out += openings(loop, k)
    order = ("over all", "disc", "opening", "gap")
    return sorted(out, key=lambda s: order.index(s.noun))


def _holes(drawing: Drawing, waste: Mapping[int, str]) -> list[tuple[int, int, RoundHole]]:
    return [
        (k, loop.parent, hole)
        for k, loop in enumerate(drawing.loops)
        if waste.get(k) == "inside" and (hole := loop.circle) is not None
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
