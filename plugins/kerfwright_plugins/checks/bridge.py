"""Declared bridges stand: two at least on an outline, as wide and as thick as the job says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright.shrinking import shrunk
from kerfwright_plugins.checks.gap import widest_gap
from kerfwright_plugins.checks.hold import LINKED, backed
from kerfwright_plugins.checks.missing import missing
from kerfwright_plugins.checks.nearby import line_near
from kerfwright_plugins.checks.remains import Standing, remains
from kerfwright_plugins.checks.target import Held, target

__all__ = ["BridgeCheck", "bridges_of"]

THIN = 0.05
"""How much narrower than declared a waist may come out (mm)."""
WIDE = 0.3
"""How much wider (mm) it may come out and be what was asked for. A wider one holds, and is told: up to two bridges side by
side, between which no cutter passes. What is wider than that is none."""


@define(frozen=True, kw_only=True)
class BridgeCheck(Check):
    """The waist is the shortest way through the material from one side's sweep to the other's, just under the bridge's top,
    where it is narrowest. No plan is asked where bridges were meant to be.
    """

    name = "bridge"
    remedy = "put the bridge's lift back, as wide and as thick as the job declares it"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each bridge or outline."""
        setup = evidence.setup
        standing = bridges_of(evidence)
        left = {(r.must.piece, r.must.loop) for r in evidence.shared(remains).left}
        shallow = {(r.must.piece, r.must.loop) for r in evidence.shared(remains).left if r.rises is not None}
        for p, loop in sorted({key for w in setup.works for key in w.bridges}):
            held = evidence.shared(target).held(p, loop)
            if held is None:
                continue
            piece, found = setup.pieces[p], standing.get((p, loop), [])
            firm = backed(evidence, found) if setup.job.sheet.hold in LINKED else found
            if len(firm) < 2 and (p, loop) not in shallow and not _dust(evidence, p, loop):
                x, y = (round(float(v), 3) for v in piece.loops[loop].curve.start[:2])
                text = f"{piece.part}, copy {piece.copy}: {len(firm)} bridges stand on an outline that must have two or more"
                yield Finding(self.name, "error", text, (x, y), *line_near(evidence, (x, y)))
            spacing = _spacing(evidence, p, loop)
            # rounded down; fewer stand where there is no room for more
            asked = int(piece.loops[loop].curve.length / spacing) if spacing > 0 else 0
            known = spacing > 0 and (p, loop) not in left  # a bridge beside a leftover is not counted
            gap = widest_gap(evidence, found, held, spacing) if known else None
            if gap is not None:
                x, y = (round(v, 3) for v in gap[1])
                text = (
                    f"{piece.part}, copy {piece.copy}: {gap[0]:.1f} mm from one bridge to the next, where the spacing is "
                    f"{spacing:g} mm and there is room for another"
                )
                yield Finding(self.name, "error", text, (x, y), *line_near(evidence, (x, y)))
            elif (p, loop) not in left and (
                lost := missing(evidence, (p, loop), found, held, spacing, _counted(evidence, p, loop))
            ):
                x, y = (round(float(v), 3) for v in piece.loops[loop].curve.start[:2])
                text = f"{piece.part}, copy {piece.copy}: {len(found)} bridges stand where {lost} are asked for and have room"
                yield Finding(self.name, "error", text, (x, y), *line_near(evidence, (x, y)))
            elif 2 <= len(found) < asked:
                x, y = (round(float(v), 3) for v in piece.loops[loop].curve.start[:2])
                text = f"{piece.part}, copy {piece.copy}: {len(found)} bridges stand where the spacing asks for {asked}"
                yield Finding(self.name, "warning", text, (x, y))
            elif 2 <= len(found) < (asked := _counted(evidence, p, loop)):
                x, y = (round(float(v), 3) for v in piece.loops[loop].curve.start[:2])
                text = f"{piece.part}, copy {piece.copy}: {len(found)} bridges stand where {asked} are asked for"
                yield Finding(self.name, "warning", text, (x, y))
            for one in found:
                waist = _waist(evidence, one, held)
                if held.width - THIN <= waist <= held.width + WIDE:
                    continue
                at = (round(one.at[0], 3), round(one.at[1], 3), round(setup.heights.bridge_top(held.thickness), 3))
                text = (
                    f"{piece.part}, copy {piece.copy}: a bridge's waist of {waist:.3f} mm, declared {held.width:g} mm"
                )
                holds = held.width < waist <= held.most(one.must.radius)
                yield Finding(self.name, "warning" if holds else "error", text, at, *line_near(evidence, at))


def bridges_of(evidence: Evidence) -> dict[tuple[int, int], list[Standing]]:
    """The bridges that stand on each outline, (piece, loop)."""
    out: dict[tuple[int, int], list[Standing]] = defaultdict(list)
    declared = {key for w in evidence.setup.works for key in w.bridges}
    for one in evidence.shared(remains).standing:
        piece, loop = one.must.piece, one.must.loop
        if loop < 0:  # a pocket's bridges stand on what it surrounds
            outlines = evidence.shared(target).outlines[piece]
            mine = [k for p, k in one.must.work.loops if p == piece]
            loop = min(
                mine, key=lambda k: float(shapely.distance(outlines[k].exterior, shapely.Point(one.at))), default=-1
            )
            if (piece, loop) not in declared:
                continue  # where it ends, across the pocket
        out[piece, loop].append(one)
    return {key: _once(evidence, some) for key, some in out.items()}


def _once(evidence: Evidence, some: list[Standing]) -> list[Standing]:
    """Of bridges told by several cuts of one outline those of the deepest, and of the one nearest to the wall."""
    wanted = evidence.shared(target)
    best = min((round(wanted.floor(s.must.work), 6), s.must.side, s.must.work.index) for s in some)
    return [s for s in some if (round(wanted.floor(s.must.work), 6), s.must.side, s.must.work.index) == best]


def _spacing(evidence: Evidence, piece: int, loop: int) -> float:
    """Spacing (mm) that bridges on an outline were declared with; 0 where none was."""
    said = next(w.bridges[piece, loop] for w in evidence.setup.works if (piece, loop) in w.bridges)
    return float(getattr(said, "spacing", 0.0))


def _counted(evidence: Evidence, piece: int, loop: int) -> int:
    """How many bridges an outline was declared with: a count, or given points where they are this outline's alone."""
    said = [(key, b) for w in evidence.setup.works for key, b in w.bridges.items() if key[0] == piece]
    mine = next(b for key, b in said if key == (piece, loop))
    alone = all(b != mine for key, b in said if key[1] != loop)
    return int(getattr(mine, "count", 0)) or (len(getattr(mine, "at", ())) if alone else 0)


def _dust(evidence: Evidence, piece: int, loop: int) -> bool:
    """Whether the kerf inside an opening leaves nothing that a bridge could hold."""
    works = [w for w in evidence.setup.works if (piece, loop) in w.loops]
    if any(w.waste(evidence.setup.pieces[piece].loops[loop]) != "inside" for w in works):
        return False
    wide = max(w.operation.cutter.cuts + w.operation.allowance.side for w in works)
    return bool(shapely.is_empty(shrunk(evidence.shared(target).outlines[piece][loop], wide)))


def _waist(evidence: Evidence, one: Standing, held: Held) -> float:
    """Width of what stands between the sweeps on both sides: 0 where they meet or there is one side only."""
    cut = evidence.at(evidence.setup.heights.bridge_top(held.thickness) - 0.01)
    # only what touches the wall here: on the other side of a narrow gap another stretch of it may be cut
    place = shapely.buffer(one.wall, one.must.radius + 0.05, quad_segs=8)
    near = cut.near(place)
    lines = shapely.intersection(near.lines, place)
    some = ~shapely.is_empty(lines)
    lines, near = lines[some], near.take(some)
    if len(lines) < 2:
        return 0.0
    gap = shapely.distance(lines[:, None], lines[None, :]) - near.radius[:, None] - near.radius[None, :]
    group = np.arange(len(lines))
    for _ in range(len(lines)):
        group = np.where(gap <= 0, group[None, :], len(lines)).min(1)
    apart = group[:, None] != group[None, :]
    return float(np.nanmin(gap[apart])) if apart.any() else 0.0
