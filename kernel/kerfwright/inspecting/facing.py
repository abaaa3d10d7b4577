"""Walls of an outline that face each other: what a caliper's jaws can lie against.

In a direction n a wall is a straight piece square to n, or the point where a round end (an arc that bulges outward) stands
farthest along n. Outlines run counter-clockwise, so that their inside lies on the left of each piece.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from attrs import frozen

from kerfwright.arrays import Floats
from kerfwright.curve import Curve

__all__ = ["Pair", "Wall", "back", "directions", "extremes", "facing", "walls"]

SHORTEST = 0.5
"""A straight piece shorter than this (mm) is no wall to measure from (our choice)."""
MOST_WALLS = 200
"""Of an outline of more straight pieces only the longest are looked at."""
SQUARE = 1e-4
"""Walls square to a direction within this angle (rad)."""
ALIKE = 0.005
"""Sizes that differ by less (mm) are the same."""
MOST = 3
"""Sizes of one outline along one direction."""


@frozen
class Wall:
    """Where it lies along n (mm), from where to where across n, and +1 where the inside of the outline is towards +n."""

    at: float
    low: float
    high: float
    side: int

    @property
    def straight(self) -> bool:
        """It is no single point."""
        return self.high - self.low > 1e-9


@frozen
class Pair:
    """Two walls and the line (across n) on which they face each other, off the middle of what they share: lines that cross
    are told apart."""

    first: Wall
    second: Wall

    @property
    def shared(self) -> float:
        """Length on which they face each other (mm)."""
        return min(self.first.high, self.second.high) - max(self.first.low, self.second.low)

    @property
    def across(self) -> float:
        """Where the line lies."""
        return max(self.first.low, self.second.low) + 0.35 * self.shared

    @property
    def size(self) -> float:
        """Between them (mm)."""
        return self.second.at - self.first.at


def walls(curve: Curve, angle: float) -> list[Wall]:
    """All walls of a closed curve in the direction `angle` (degrees), the longest first."""
    turned = curve.rotated(-angle)
    p, d = turned.nodes[:, :2], np.diff(turned.nodes[:, :2], axis=0)
    out = []
    straight = np.flatnonzero((turned.turns == 0) & (np.abs(d[:, 0]) <= SQUARE * np.abs(d[:, 1])))
    straight = straight[np.abs(d[straight, 1]) >= SHORTEST]
    for k in straight[np.argsort(-np.abs(d[straight, 1]), kind="stable")][:MOST_WALLS].tolist():
        at, (low, high) = float(p[k : k + 2, 0].mean()), np.sort(p[k : k + 2, 1]).tolist()
        out.append(Wall(at, low, high, 1 if d[k, 1] < 0 else -1))
    out += _round(turned)
    return out


def _round(turned: Curve) -> Iterator[Wall]:
    """The farthest points of arcs that bulge outward."""
    for k in np.flatnonzero(turned.turns > 1e-9).tolist()[:MOST_WALLS]:
        (x, y), r = turned.centers[k, :2].tolist(), float(turned.radii[k])
        start = math.atan2(*(turned.nodes[k, 1::-1] - (y, x)).tolist())
        for side, to in ((-1, 0.0), (1, math.pi)):
            if (to - start + 1e-6) % (2 * math.pi) <= turned.turns[k] + 2e-6:
                yield Wall(x - side * r, y, y, side)


def directions(curve: Curve, most: int = 4) -> list[float]:
    """Square to its straight walls and along them (degrees, 0 up to 180), X and Y first, then those of the longest walls."""
    d = curve.chords[:, :2][curve.turns == 0]
    long = np.hypot(*d.T)
    d, long = d[long >= 2.0], long[long >= 2.0]
    angle = np.round(np.degrees(np.arctan2(d[:, 1], d[:, 0])) % 90, 3) % 90
    total = {a: float(long[angle == a].sum()) for a in np.unique(angle).tolist() if 0.01 < a < 89.99}
    turned = sorted(total, key=lambda a: -total[a])
    return [v for a in (0.0, *turned) for v in (a, a + 90)][:most]


def facing(curve: Curve, area: shapely.Polygon, angle: float, *, inside: bool) -> list[Pair]:
    """Sizes of an outline in one direction, the largest first, each wall in one: across its inside, or across a gap in it.

    What lies between must be free all the way. Round ends count across the inside only.
    """
    some = [w for w in walls(curve, angle) if inside or w.straight]
    side = 1 if inside else -1
    seen = shapely.affinity.rotate(area, -angle, origin=(0, 0))
    shapely.prepare(seen)
    pairs = [Pair(a, b) for a in some for b in some if a.side == side and b.side == -side and b.at - a.at > 0.1]
    pairs = [q for q in pairs if q.shared > -1e-4]
    out: list[Pair] = []
    for one in sorted(pairs, key=lambda q: (-round(q.size, 3), -q.shared, q.across)):
        used = any(one.first is q.first or one.second is q.second or abs(one.size - q.size) < ALIKE for q in out)
        if not used and _free(seen, one, inside):
            out.append(one)
        if len(out) == MOST:
            break
    return out


def _free(area: shapely.Polygon, one: Pair, inside: bool) -> bool:
    line = shapely.LineString([(one.first.at + 0.02, one.across), (one.second.at - 0.02, one.across)])
    return bool(area.contains(line) if inside else not area.intersects(line))


def back(angle: float, at: float, across: float) -> tuple[float, float]:
    """A point of the turned outline where the drawing has it."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return at * c - across * s + 0.0, at * s + across * c + 0.0


def extremes(curve: Curve) -> Floats:
    """Least and greatest X of a closed curve."""
    low, _, high, _ = curve.bounds
    return np.array([low, high])
