"""Bridges at even distances, moved to straights."""

from __future__ import annotations

import math
from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.strategy import Bridge, Bridges

__all__ = ["Spacing"]

CORNER = 0.1
"""A bend (rad) from which a node is a corner."""
STRAIGHT = 0.1
"""Turning (rad) along a raised stretch below which a curve is all but a straight."""
MOST_TURN = 0.7
"""Turning (rad) along a raised stretch up to which it may count as straight."""
PHASES = 8
"""How many starts are tried for the even distances."""
WAYS_OUT = "hold the piece by tape, leave a skin, or clear it to dust"


@define(frozen=True, kw_only=True)
class Spacing(Bridges):
    """About one bridge every `spacing` along the outline, two at least, on straights or the gentlest curves there are."""

    name: ClassVar[str] = "spacing"
    spacing: float = fields.number("from one bridge to the next", unit="mm", above=0, most=2000, default=40.0)
    slope: float = fields.number("slope of a bridge's flanks; 0 is square", unit="deg", least=0, most=80, default=0.0)

    def places(self, loop: Curve, kerf: float) -> list[Bridge]:
        """As evenly as the outline allows; fewer than asked for where there is no more room, never fewer than two."""
        flank = self.thickness / math.tan(math.radians(self.slope)) if self.slope else 0.0
        raised = self.width + kerf + 2 * flank
        length, apart = loop.length, 1.1 * raised
        want = max(2, math.ceil(length / self.spacing - 1e-9))
        s, turning = self._free(loop, raised, kerf)
        # a curve costs as much as a straight one whole spacing away, and more the more it turns
        curved = (np.minimum(turning / STRAIGHT, 1.0) + turning) * length / want
        best: tuple[int, float, list[float]] = (0, 0.0, [])
        for phase in range(PHASES):
            ideal = (np.arange(want) + phase / PHASES) * length / want
            chosen, cost = _nearest(s, curved, ideal, apart, length if loop.closed else math.inf)
            if (len(chosen), -cost) > (best[0], -best[1] if best[0] else -math.inf):
                best = (len(chosen), round(cost, 6), chosen)
        if best[0] < 2:
            raise NoRoom(
                f"an outline of {length:.1f} mm has no room for two bridges {self.width:g} mm wide: each needs "
                f"{raised:.1f} mm of straight away from corners and radii under {kerf:.1f} mm; {WAYS_OUT}"
            )
        slope = math.tan(math.radians(self.slope)) if self.slope else math.inf
        return [Bridge(float(x), self.width, self.thickness, slope) for x in sorted(best[2])]

    def _free(self, loop: Curve, raised: float, kerf: float) -> tuple[Floats, Floats]:
        """Lengths on the loop where a bridge may stand, and how much (rad) the loop turns along it there."""
        length = loop.length
        s = np.arange(0.0, length, min(0.25, length / 200))
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
        free = ~in_corner & ~in_tight & (turning <= MOST_TURN)
        if not loop.closed:
            free &= (s > near) & (s < length - near)
        return s[free], turning[free]


def _nearest(s: Floats, extra: Floats, ideal: Floats, apart: float, around: float) -> tuple[list[float], float]:
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
    return chosen, total
