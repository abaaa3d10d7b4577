"""Wide gaps between the bridges of an outline, where another one could stand."""

from __future__ import annotations

import math

import numpy as np
import shapely

from kerfwright.arrays import Bools, Floats
from kerfwright.evidence import Evidence
from kerfwright_plugins.checks.remains import Standing
from kerfwright_plugins.checks.target import Held, Must, target

__all__ = ["FLAT", "stretch", "widest_gap"]

WIDE = 1.5
"""A gap of this many even spacings tells that a bridge is missing, if there is a place for one."""
AWAY = 0.85
"""So many spacings from both neighbours must that place lie: nearer, those may have been moved out of corners."""
FAR = 12.0
"""Where the piece itself stands within this many radii across the kerf, a bridge would join it to itself: none is missed."""
FLAT, MORE = 0.01, 1.1
"""How much (mm) a wall may bend along a place for a bridge: as a straight does, or as much more than the straightest where one
stands. In sharper bends no bridge is missed.
"""


def widest_gap(
    evidence: Evidence, standing: list[Standing], held: Held, spacing: float
) -> tuple[float, tuple[float, float]] | None:
    """Length (mm) along the wall from one bridge to the next, and a place between them where one could stand: of the widest
    gap of more than one and a half even spacings that has such a place; None where there is none.
    """
    worst: tuple[float, tuple[float, float]] | None = None
    for must in {id(one.must): one.must for one in standing}.values():
        at = shapely.points([one.at for one in standing if one.must is must])
        for ring in must.wall:
            on = shapely.line_locate_point(ring, at[shapely.dwithin(at, ring, 0.05)])
            # the way of the cutter is no longer than this; where as many stand as it asks for, none is missing
            length = float(ring.length) + 2 * math.pi * must.radius
            asked = math.ceil(length / spacing)
            if not 2 <= len(on) < asked:
                continue
            even = length / asked
            s = np.sort(on)
            for a, b in zip(s.tolist(), [*s[1:].tolist(), s[0] + ring.length]):
                if b - a > WIDE * even and (worst is None or b - a > worst[0]):
                    places = np.arange(a + AWAY * even, b - AWAY * even, 0.5)
                    free = _free(evidence, must, ring, places, on, held)
                    if free.any():
                        p = shapely.line_interpolate_point(ring, float(places[free][0]) % ring.length)
                        worst = b - a, (float(p.x), float(p.y))
    return worst


def _free(
    evidence: Evidence, must: Must, ring: shapely.LinearRing, places: Floats, bridges: Floats, held: Held
) -> Bools:
    """Which places along a wall bend no more than where bridges stand, and face something else than the piece itself."""
    if not len(places):
        return np.zeros(0, np.bool_)
    half = held.widest / 2 + 2 * must.radius + 0.5
    p, left, bent = stretch(ring, places, half)
    most = max(FLAT, MORE * float(stretch(ring, bridges, half)[2].min()))
    keep = evidence.shared(target).slabs[-1].keep[must.piece]
    shapely.prepare(keep)
    inside = shapely.intersects(keep, shapely.points(p + 0.05 * left))
    out = np.where(inside[:, None], -left, left)
    across = shapely.linestrings(np.stack([p + 0.05 * out, p + FAR * must.radius * out], axis=1))
    free: Bools = (bent <= most) & ~shapely.intersects(keep, across)
    return free


def stretch(ring: shapely.LinearRing, places: Floats, half: float) -> tuple[Floats, Floats, Floats]:
    """Points (m, 2) on a wall, the normal to its left there, and how far it bends (mm) within `half` to both sides."""
    along = places[:, None] + np.linspace(-half, half, 9)
    p = shapely.get_coordinates(shapely.line_interpolate_point(ring, along.ravel() % ring.length)).reshape(-1, 9, 2)
    way = p[:, -1] - p[:, 0]
    left = np.column_stack([-way[:, 1], way[:, 0]]) / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    return p[:, 4], left, np.abs(((p - p[:, :1]) * left[:, None]).sum(2)).max(1)
