"""Where the drawing has places that the cutter is too big for, and which one would do."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright.operation import Pocket, Profile
from kerfwright.shrinking import opened
from kerfwright_plugins.checks.faces import even_odd
from kerfwright_plugins.checks.remains import short_of
from kerfwright_plugins.checks.target import target

__all__ = ["Reach"]

LEAST = 0.05
"""Radius (mm) of the smallest cutter that is thought of."""
SHARP = (0.4, 0.6)
"""A cutter of half the radius leaves half as much in a sharp corner: no cutter reaches that, and it is not told."""


@define(frozen=True, kw_only=True)
class Reach(Check):
    """What of a pocket or an opening stays farther from the cut than the tolerance, though a smaller cutter would take it."""

    name = "reach"
    remedy = "cut it with a cutter of that diameter or smaller, or draw the place wider"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One warning for each pocket or opening of each part: its worst place."""
        for where, work, area in _areas(evidence):
            found = _worst(evidence, area, work.operation.cutter.radius, evidence.shared(target).floor(work))
            if found is None:
                continue
            away, spot, radius = found
            text = (
                f"{where}: up to {away:.2f} mm stay where a cutter of {work.operation.cutter.cuts:g} mm is too big; "
                f"at most {2 * radius:.2f} mm would reach"
            )
            yield Finding(self.name, "warning", text, (round(float(spot[0]), 3), round(float(spot[1]), 3)))


def _areas(evidence: Evidence) -> Iterable[Any]:
    """Areas of pockets, openings and surroundings that some cutter does not reach all of; each part is asked once."""
    setup, wanted = evidence.setup, evidence.shared(target)
    walls: dict[tuple[int, int], list[Any]] = defaultdict(list)
    for must in wanted.musts:
        walls[must.work.index, must.piece] += list(must.wall)
    seen: set[tuple[str, float, int]] = set()
    for work in setup.works:
        op = work.operation
        for p in sorted({p for p, _ in work.loops}):
            piece, polygons = setup.pieces[p], wanted.outlines[p]
            key = (piece.part, piece.turn, work.index)
            if key in seen or not isinstance(op, (Pocket, Profile)):
                continue  # copies are alike
            seen.add(key)
            loops = [k for q, k in work.loops if q == p]
            missed = [k for k in loops if _short(polygons[k], walls[work.index, p], setup.job.tolerance)]
            label = f"{work.path} of {piece.part}, copy {piece.copy}"
            if isinstance(op, Pocket):
                if missed:
                    yield label, work, even_odd(piece, polygons, loops)
                continue
            for k in missed:
                side = work.waste(piece.loops[k])
                if side == "inside":
                    yield label, work, polygons[k]
                elif side == "outside":
                    x0, y0, x1, y1 = polygons[k].bounds
                    m = 4 * op.cutter.radius + 1.0
                    yield label, work, shapely.difference(shapely.box(x0 - m, y0 - m, x1 + m, y1 + m), polygons[k])


def _short(polygon: Any, walls: list[Any], tolerance: float) -> bool:
    """Whether some of an outline is no wall that the cutter reaches."""
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(polygon.exterior, 0.5)))
    if not walls:
        return True
    reach = shapely.STRtree(walls).query(points, predicate="dwithin", distance=tolerance)[0]
    return len(np.unique(reach)) < len(points)


def _worst(evidence: Evidence, area: Any, radius: float, floor: float) -> tuple[float, Any, float] | None:
    """How far (mm) from any cut, where, and the radius that would do; None where nothing is left, or no cutter would do."""
    tolerance = evidence.setup.job.tolerance
    missed = shapely.get_parts(shapely.difference(area, opened(area, radius)))
    missed = missed[shapely.area(missed) > 1e-4]
    if not len(missed):
        return None
    cut = evidence.at(floor + 0.01)
    deepest: list[tuple[float, Any, Any]] = []
    for part in missed:
        points = shapely.get_coordinates(shapely.segmentize(part, 0.1))
        away = short_of(cut, points) if len(cut) else np.full(len(points), np.inf)
        k = int(np.argmax(away))
        deepest.append((float(min(away[k], 999.0)), points[k], part))
    for deep, spot, part in sorted(deepest, key=lambda one: -one[0]):
        if deep <= tolerance:
            break
        first, half = _left(area, part, radius), _left(area, part, radius / 2)
        if SHARP[0] * first < half < SHARP[1] * first:
            continue
        low, high = LEAST, radius
        if _left(area, part, low) > tolerance:
            continue
        for _ in range(8):
            mid = (low + high) / 2
            low, high = (mid, high) if _left(area, part, mid) <= tolerance else (low, mid)
        return deep, spot, low
    return None


def _left(area: Any, part: Any, radius: float) -> float:
    """How far (mm) a point of some part lies from what a round cutter reaches of an area."""
    near = shapely.intersection(area, shapely.buffer(part, 4 * radius + 1.0))
    reached = opened(near, radius)
    if shapely.is_empty(reached):
        return 999.0
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(part, 0.1)))
    return float(shapely.distance(points, reached).max())
