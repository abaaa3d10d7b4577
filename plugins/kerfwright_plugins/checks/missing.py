"""Whether bridges that are asked for, and do not stand, could stand: then they were cut through."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from kerfwright.evidence import Evidence
from kerfwright_plugins.checks.gap import FLAT, stretch
from kerfwright_plugins.checks.remains import Standing
from kerfwright_plugins.checks.target import Held, Must, target

__all__ = ["missing"]

BESIDE = 1.5
"""Where a wall faces itself across two kerfs and this much (mm), a bridge would hold a piece to itself and is left out."""


def missing(
    evidence: Evidence, loop: tuple[int, int], standing: Sequence[Standing], held: Held, spacing: float, counted: int
) -> int:
    """How many bridges an outline (piece, loop) must have, where it has fewer and nothing excuses that; else 0.

    Counted bridges have no excuse but a wall that faces itself; bridges at a spacing may also lack room: one is missing
    only if a straight is free far enough from those that stand. Nothing is told of a kerf that slotting widens.
    """
    musts = [
        m for m in evidence.shared(target).musts if m.held is not None and (m.piece, m.loop) == loop and m.area is None
    ]
    walls = [(m, ring) for m in musts for ring in m.wall]
    if len(walls) != 1 or len(standing) < 2:
        return 0
    must, ring = walls[0]
    slotting = getattr(must.work.operation, "slotting", None)
    if slotting is not None and slotting.name != "full":
        return 0
    inside = must.work.waste(evidence.setup.pieces[must.piece].loops[must.loop]) == "inside"
    way = float(ring.length) + (-2 if inside else 2) * math.pi * must.radius
    asked = counted or (max(2, math.ceil(way / spacing - 0.02)) if spacing > 0 else 0)
    if len(standing) >= asked or _faces_itself(must, ring, inside):
        return 0
    if counted:
        return asked
    return asked if _room(must, ring, standing, held) else 0


def _faces_itself(must: Must, ring: shapely.LinearRing, inside: bool) -> bool:
    """Whether anywhere along a wall the same wall lies across, so near that no sheet stands between the kerfs."""
    solid = shapely.Polygon(ring)
    places = np.arange(0.0, ring.length, 0.5)
    p, left, _ = stretch(ring, places, 0.3)
    within = shapely.contains(solid, shapely.points(p + 0.02 * left))
    out = np.where((within == inside)[:, None], left, -left)
    across = shapely.linestrings(np.stack([p + 0.1 * out, p + (4 * must.radius + BESIDE) * out], axis=1))
    return bool(shapely.intersects(ring, across).any())


def _room(must: Must, ring: shapely.LinearRing, standing: Sequence[Standing], held: Held) -> bool:
    """Whether a straight of the wall is free for one more bridge, farther from all others than two ever stand apart."""
    raised = held.widest + 2 * must.radius
    away = 1.1 * raised + 1.0
    at = shapely.line_locate_point(ring, shapely.points([one.at for one in standing]))
    places = np.arange(0.0, ring.length, 0.5)
    gap = np.abs(places[:, None] - at[None])
    far = np.minimum(gap, ring.length - gap).min(1) > away
    bent = stretch(ring, places, raised / 2 + 2 * must.radius + 0.5)[2]
    return bool((far & (bent <= FLAT)).any())
