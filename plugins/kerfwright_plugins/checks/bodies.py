"""What operations beyond the core take of a piece, at the heights where it is looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.setup import Setup, Work
from kerfwright.spot import Spot
from kerfwright.taking import Taking

__all__ = ["Taken", "passing", "taken_of"]

NEAR = 0.006
"""Shapes are looked at this far (mm) above and below a break."""
FINE = 0.004
"""Where a cutter runs down a slope beside a slanted wall, its sweep is looked at in steps of this (mm)."""


@define(frozen=True, eq=False)
class Taken:
    """One operation on one piece: Z of its breaks, falling, the sheet's highest place first."""

    work: Work
    spot: Spot
    taking: Taking
    top: float
    breaks: tuple[float, ...]

    @property
    def piece(self) -> int:
        """Its index."""
        return self.spot.piece.index

    @property
    def floor(self) -> float:
        """Lowest Z."""
        return self.breaks[-1]

    @property
    def heights(self) -> Sequence[float]:
        """Z of the breaks below the top."""
        return self.breaks[1:]

    def may(self, level: float) -> shapely.Geometry:
        """What may be gone at a Z above the floor."""
        return self.taking.may(self.work.operation, self.spot, self.top - level)

    def musts(self) -> Iterator[tuple[float, shapely.Geometry]]:
        """What must be gone just below and just above each break, where there is any of it."""
        levels = [z for a, b in zip(self.breaks, self.breaks[1:]) for z in (a - NEAR, b + NEAR) if b < z < a]
        found = [(z, self.taking.must(self.work.operation, self.spot, self.top - z)) for z in levels]
        some = [one for one in found if not shapely.is_empty(one[1]) and one[1].area > 0]
        yield from some or found[-1:]  # with nothing to take nobody could tell that it was done

    def slants(self) -> Iterator[tuple[float, float]]:
        """Ranges of Z, high and low, in which its walls are not upright."""
        for a, b in zip(self.breaks, self.breaks[1:]):
            differ = shapely.symmetric_difference(self.may(a - NEAR), self.may(b + NEAR)) if a - b > 2 * NEAR else None
            if differ is not None and differ.area > 1e-6:
                yield a, b


def taken_of(setup: Setup, work: Work, spot: Spot, taking: Taking) -> Taken:
    """Ask for the breaks, and put them in order."""
    h = setup.heights
    depths = np.asarray(taking.breaks(work.operation, spot), float)
    if len(depths) < 2 or depths[0] != 0 or not (np.diff(depths) > 0).all():
        raise ValueError(f"taking {taking.kind}: breaks rise from 0 to the floor, found {depths.tolist()}")
    breaks = [h.highest, *(h.at(d) for d in depths[1:].tolist())]
    return Taken(work, spot, taking, h.top, tuple(breaks))


def passing(evidence: Evidence, one: Taken, keep: Callable[[float], shapely.Geometry]) -> list[float]:
    """Z just above which the text's tips stand or run beside slanted walls, where those must be looked at too: a sweep and
    a wall both run straight between any two of these. `keep` is what stays of the piece at a height; a cylinder that is
    clear of it at the foot of a wall, where most stays, is clear of it everywhere.
    """
    course = evidence.course
    a, b, move = course.chords
    found: list[Any] = []
    lines = shapely.linestrings(np.stack([a[:, :2], b[:, :2] + [1e-7, 0.0]], axis=1))
    widest = float(np.nan_to_num(course.radius).max(initial=0.0))
    for high, low in one.slants():
        parts = shapely.get_parts(one.may(high - NEAR))
        near = np.unique(shapely.STRtree(lines).query(parts, predicate="dwithin", distance=widest)[1])
        reach = np.nan_to_num(course.radius[move[near]])
        near = near[shapely.distance(lines[near], shapely.multipolygons(parts)) < reach]
        clear = shapely.distance(lines[near], keep(low + NEAR)) > np.nan_to_num(course.radius[move[near]]) - 0.002
        near = near[~clear | (course.taper[move[near]] > 0)]
        z = np.stack([a[near, 2], b[near, 2]], axis=1) + course.point[move[near], None]
        least, most = z.min(axis=1), z.max(axis=1)
        across = np.hypot(*(b - a)[near, :2].T) > 1e-9
        some = [least]
        slope = np.flatnonzero(across & (most - least > 1e-6) & (least < high) & (most > low))
        if len(slope):
            some.append(np.arange(max(low, least[slope].min()), min(high, most[slope].max()), FINE))
        every = np.concatenate(some)
        found.append(every[(every > low) & (every < high)])
    return sorted(np.unique(np.round(np.concatenate([np.zeros(0), *found]), 4)).tolist(), reverse=True)
