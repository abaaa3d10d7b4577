"""Open chains joined end to end into closed ones; what cannot be joined is told with its place."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np
import shapely
from attrs import Factory, define

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.drawing import Remark
from kerfwright.errors import Fault
from kerfwright.outlines.chains import Chain, place

__all__ = ["GAP", "JOIN", "joined"]

ROUNDED = (1e-4, 1e-3)
"""Ends nearer than this (mm) are one point but for rounding: they are joined before any that lie farther apart, so that
pieces shorter than a gap find their own fellows."""
JOIN = 0.02
"""Ends up to here (mm) are joined silently."""
GAP = 0.1
"""Ends up to here (mm) are joined with a Remark, ends beyond not at all."""


@define(eq=False)
class _Ends:
    """Both ends of every open chain: end 2k is the start of chain k, end 2k+1 its end. `mate` -1 is open, -2 at fault."""

    chains: list[Chain]
    at: Floats
    mate: Ints
    dropped: set[int] = Factory(set)
    faults: list[Fault] = Factory(list)
    remarks: list[Remark] = Factory(list)

    def join(self, i: int, j: int, told: bool) -> None:
        gap = float(np.hypot(*(self.at[i] - self.at[j])))
        middle = (self.at[i] + self.at[j]) / 2
        if told:
            self.remarks.append(
                Remark(f"a gap of {gap:.3f} mm closed at {place(middle)}", (float(middle[0]), float(middle[1])))
            )
        self.mate[i], self.mate[j] = j, i
        self.at[i] = self.at[j] = middle

    def level(self, reach: float) -> None:
        """Join what lies within `reach` and is alone there."""
        free = np.array([e for e in np.flatnonzero(self.mate == -1).tolist() if e // 2 not in self.dropped], int)
        if not len(free):
            return
        points = shapely.points(self.at[free])
        i, j = shapely.STRtree(points).query(points, predicate="dwithin", distance=reach)
        i, j = i[i != j], j[i != j]
        degree = np.bincount(i, minlength=len(free))
        pair = (degree[i] == 1) & (degree[j] == 1) & (i < j)
        order = np.argsort(i[pair], kind="stable")
        for a, b in zip(free[i[pair]][order].tolist(), free[j[pair]][order].tolist(), strict=True):
            self.join(a, b, reach > JOIN)
        near: dict[int, list[int]] = {}
        for a, b in zip(free[i].tolist(), free[j].tolist(), strict=True):
            near.setdefault(a, []).append(b)
        seen: set[int] = set()
        for start in free[degree > 1].tolist():
            if start not in seen:
                self._crowd(_reached(start, near, seen), reach)

    def _crowd(self, ends: list[int], reach: float) -> None:
        """More than two ends at one place: fine where all but two belong to crumbs shorter than `reach`."""
        members = set(ends)
        crumbs = {e // 2 for e in ends if e ^ 1 in members and self.chains[e // 2].curve.length <= reach}
        left = [e for e in ends if e // 2 not in crumbs]
        if len(left) == 2:
            self.dropped |= crumbs
            self.join(left[0], left[1], reach > JOIN)
            where = self.at[left[0]]
            self.remarks.append(
                Remark(
                    f"a line shorter than {reach:g} mm left out at {place(where)}", (float(where[0]), float(where[1]))
                )
            )
            return
        self.mate[ends] = -2
        chain = self.chains[ends[0] // 2]
        self.faults.append(
            Fault(
                chain.path,
                f"{len(ends)} ends meet at {place(self.at[ends[0]])}; allowed: two (an outline does not branch)",
            )
        )

    def still_open(self) -> None:
        """A fault for every pair of open ends that lie nearest to each other."""
        free = np.array([e for e in np.flatnonzero(self.mate == -1).tolist() if e // 2 not in self.dropped], int)
        told: set[tuple[int, int]] = set()
        if len(free) == 1:  # its fellow belongs to a branch, which is told
            return
        if len(free):
            points = shapely.points(self.at[free])
            (a, b), far = shapely.STRtree(points).query_nearest(
                points, exclusive=True, all_matches=False, return_distance=True
            )
            for i, j, d in zip(free[a].tolist(), free[b].tolist(), far.tolist(), strict=True):
                if (min(i, j), max(i, j)) in told:
                    continue
                told.add((min(i, j), max(i, j)))
                self.faults.append(
                    Fault(
                        self.chains[i // 2].path,
                        f"an outline is not closed: open end at {place(self.at[i])}, the nearest other open end lies "
                        f"{d:.3f} mm away at {place(self.at[j])}; allowed: {GAP:g} mm{self._stray(i, j)}",
                    )
                )

    def _stray(self, i: int, j: int) -> str:
        """What to say of one straight line between both ends: center lines are often left in a drawing."""
        curve = self.chains[i // 2].curve
        alone = i // 2 == j // 2 and len(curve) == 1 and not curve.turns[0]
        return "; a center line or the like: take it out of the drawing" if alone else ""

    def loops(self) -> list[Chain]:
        """Every ring of chains, as one closed chain each."""
        out = []
        seen = set(self.dropped)
        stop = {e // 2 for e in np.flatnonzero(self.mate < 0).tolist()}
        for first in range(len(self.chains)):
            ring, enter = [], 2 * first
            while enter // 2 not in seen:
                seen.add(enter // 2)
                ring.append(enter)
                if self.mate[enter ^ 1] < 0:
                    break
                enter = int(self.mate[enter ^ 1])
            if ring and enter == 2 * first and not any(e // 2 in stop for e in ring):
                out.append(self._ring(ring))
        return out

    def _ring(self, ring: list[int]) -> Chain:
        parts = []
        weight: dict[str, float] = {}
        for enter in ring:
            chain = self.chains[enter // 2]
            nodes = chain.curve.nodes.copy()
            nodes[0, :2], nodes[-1, :2] = self.at[enter & ~1], self.at[enter | 1]
            c = Curve(nodes, chain.curve.turns)
            parts.append(c.reversed() if enter & 1 else c)
            weight[chain.layer] = weight.get(chain.layer, 0.0) + c.length
        lead = self.chains[ring[0] // 2]
        layer = max(weight, key=lambda name: weight[name])
        if len(weight) > 1:
            where = parts[0].nodes[0, :2]
            self.remarks.append(
                Remark(
                    f"the outline at {place(where)} has lines of the layers {', '.join(sorted(weight))}; "
                    f"it counts as {layer}, which has most of it",
                    (float(where[0]), float(where[1])),
                )
            )
        return attrs.evolve(lead, curve=Curve.join(parts), layer=layer)


def _reached(start: int, near: dict[int, list[int]], seen: set[int]) -> list[int]:
    todo, out = [start], []
    while todo:
        e = todo.pop()
        if e not in seen:
            seen.add(e)
            out.append(e)
            todo += near.get(e, [])
    return sorted(out)


def _halved(chain: Chain) -> Chain:
    """No arc of more than half a turn: such a one moves farther than its end is moved."""
    c = chain.curve
    wide = np.flatnonzero(np.abs(c.turns) > np.pi + 1e-9)
    if not len(wide):
        return chain
    return attrs.evolve(chain, curve=c.split((c.s[wide] + c.s[wide + 1]) / 2)[0])


def joined(chains: Sequence[Chain]) -> tuple[list[Chain], list[Remark], list[Fault]]:
    """Closed chains of open ones. Ends that meet are moved to the middle of their gap: nothing moves by more than the gap."""
    if not chains:
        return [], [], []
    some = [_halved(c) for c in chains]
    at = np.vstack([c.curve.nodes[[0, -1], :2] for c in some])
    ends = _Ends(some, at, np.full(2 * len(some), -1))
    for reach in (*ROUNDED, JOIN, GAP):
        ends.level(reach)
    ends.still_open()
    return ends.loops(), ends.remarks, ends.faults
