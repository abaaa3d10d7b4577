"""Where on a way bridges may stand, and how many are spread over it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from attrs import frozen

from kerfwright import fields
from kerfwright.arrays import Bools, Floats
from kerfwright.curve import Curve
from kerfwright.strategy import Bridge, Bridges

__all__ = ["WAYS_OUT", "free", "made", "needs", "raised", "slope", "spread"]

CORNER = 0.1
"""A bend (rad) from which a node is a corner."""
STRAIGHT = 0.1
"""Turning (rad) along a raised stretch below which a curve is all but a straight."""
MOST_TURN = 0.7
"""Turning (rad) along a raised stretch up to which it may count as straight."""
PHASES = 8
"""How many starts are tried for the even distances."""
WAYS_OUT = "make them narrower, hold the sheet by tape, or clear it to dust with a pocket"


def slope() -> Any:
    """The parameter that all bridges have besides width and thickness."""
    return fields.number("slope of a bridge's flanks; 0 is square", unit="deg", least=0, most=80, default=0.0)


def raised(bridges: Bridges, kerf: float, angle: float) -> float:
    """Length of way (mm) that is raised for a bridge with flanks of `angle` (deg, 0 is square)."""
    return bridges.width + kerf + (2 * bridges.thickness / math.tan(math.radians(angle)) if angle else 0.0)


def needs(raised: float, kerf: float) -> str:
    """What each bridge needs, in words."""
    return f"{raised:.1f} mm of straight away from corners and radii under {kerf:.1f} mm"


def made(bridges: Bridges, s: list[float], angle: float) -> list[Bridge]:
    """Bridges at lengths on a way."""
    rise = math.tan(math.radians(angle)) if angle else math.inf
    return [Bridge(float(x), bridges.width, bridges.thickness, rise) for x in sorted(s)]


def free(loop: Curve, s: Floats, raised: float, kerf: float) -> tuple[Bools, Floats]:
    """At which lengths on the loop a bridge may stand, and how much (rad) the loop turns along it there."""
    length = loop.length
    bend = np.roll(loop.directions[:, 0], -1) - loop.directions[:, 1]
    bend = np.abs((bend + np.pi) % (2 * np.pi) - np.pi)
    if not loop.closed:
        bend[-1] = 0.0
    tight = np.where(np.isfinite(loop.radii) & (loop.radii < kerf), loop.lengths, 0.0)
    # three laps of everything, so that a window may reach over the start
    laps = np.array([-length, 0.0, length])[:, None]
    ends = (loop.s[1:] + laps).ravel()
    corners = ends[np.tile(bend > CORNER, 3)]
    nodes = np.concatenate([[-length], ends])
    tightness = np.concatenate([[0.0], np.cumsum(np.tile(tight, 3))])
    curved = np.concatenate([[0.0], np.cumsum(np.tile(np.abs(loop.turns), 3))])
    bent = np.concatenate([[0.0], np.cumsum(np.tile(bend, 3))])

    def turned(x: Floats) -> Floats:
        sums: Floats = np.interp(x, nodes, curved) + bent[np.searchsorted(ends, x)]
        return sums

    near = raised / 2 + kerf / 4
    in_corner = np.searchsorted(corners, s + near) > np.searchsorted(corners, s - near)
    in_tight = np.interp(s + near, nodes, tightness) - np.interp(s - near, nodes, tightness) > 1e-6
    turning = turned(s + raised / 2) - turned(s - raised / 2)
    good: Bools = ~in_corner & ~in_tight & (turning <= MOST_TURN)
    if not loop.closed:
        good &= (s > near) & (s < length - near)
    return good, turning


@frozen
class _Best:
    """Lengths on the loop, and what they cost."""

    chosen: list[float]
    cost: float


def spread(loop: Curve, want: int, raised: float, kerf: float) -> list[float]:
    """Up to `want` lengths on the loop, as evenly as its straights allow; fewer where there is no more room."""
    length, apart = loop.length, 1.1 * raised
    s = np.arange(0.0, length, min(0.25, length / 200))
    good, turning = free(loop, s, raised, kerf)
    s, turning = s[good], turning[good]
    # a curve costs as much as a straight one whole spacing away, and more the more it turns
    curved = (np.minimum(turning / STRAIGHT, 1.0) + turning) * length / want
    best = _Best([], 0.0)
    for phase in range(PHASES):
        ideal = (np.arange(want) + phase / PHASES) * length / want
        one = _nearest(s, curved, ideal, apart, length if loop.closed else math.inf)
        if len(one.chosen) > len(best.chosen) or (len(one.chosen) == len(best.chosen) > 0 and one.cost < best.cost):
            best = one
    return best.chosen


def _nearest(s: Floats, extra: Floats, ideal: Floats, apart: float, around: float) -> _Best:
    """For each ideal length the cheapest free one, `apart` from those chosen before; and the cost of all."""
    free, chosen, total = np.ones(len(s), bool), [], 0.0
    for want in ideal.tolist():
        gap = np.abs(s - want)
        cost = np.where(free, np.minimum(gap, around - gap) + extra, np.inf)
        if not free.any():
            break
        k = int(np.argmin(np.round(cost, 6)))
        chosen.append(float(s[k]))
        total += float(cost[k])
        gap = np.abs(s - s[k])
        free &= np.minimum(gap, around - gap) > apart
    return _Best(chosen, round(total, 6))
