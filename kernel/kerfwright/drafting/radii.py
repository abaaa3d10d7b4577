"""Inside radii of the outlines that are milled: the smallest one, and sharp corners."""

from __future__ import annotations

import numpy as np
from attrs import frozen

from kerfwright.curve import Curve
from kerfwright.drafting.sorting import Sorted
from kerfwright.recovery import recover
from kerfwright.sweep import rings_of

__all__ = ["Radius", "smallest"]

CHORDS = 16
"""An outline of so many lines or more may have arcs drawn in chords: they are looked for."""
SHORT = 0.1
"""An arc that turns by less (rad) is no corner but a joint of chords."""


@frozen
class Radius:
    """The smallest inside radius (mm), and the middle of its arc."""

    radius: float
    at: tuple[float, float]

    def limits(self, diameter: float) -> bool:
        """Whether it is what lets no larger cutter in than one of this diameter."""
        return abs(diameter - 2 * self.radius) < 0.005


def smallest(found: Sorted) -> Radius | None:
    """Of outlines and of openings that are no circles; None where they have no inside arc."""
    best: Radius | None = None
    for k in (*found.outlines, *found.openings):
        loop = found.drawing.loops[k]
        if loop.circle is not None and loop.depth % 2:
            continue
        for curve in _arcs(loop.curve, found, k):
            # counter-clockwise: waste of an opening lies inside, so its corners turn left; a piece's turn right
            turns = curve.turns if loop.depth % 2 else -curve.turns
            inner = np.flatnonzero(turns > SHORT)
            if not len(inner):
                continue
            n = inner[np.argmin(np.round(curve.radii[inner], 6))]
            r = float(curve.radii[n])
            if best is None or r < best.radius - 1e-6:
                x, y, _ = curve.at((curve.s[n] + curve.s[n + 1]) / 2)[0][0].tolist()
                best = Radius(r, (x, y))
    return best


def _arcs(curve: Curve, found: Sorted, k: int) -> list[Curve]:
    """The curve itself, or with the arcs that its chords stand for."""
    if int((np.abs(curve.turns) < 1e-12).sum()) < CHORDS:
        return [curve]
    return [c if c.signed_area > 0 else c.reversed() for c in recover(rings_of(found.shapes[k]))]
