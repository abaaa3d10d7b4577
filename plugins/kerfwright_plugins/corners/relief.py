"""Inside corners opened so far that a part with square corners goes in."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.strategy import Corners

__all__ = ["Relief"]

SLACK = np.radians(0.01)
"""How far an angle may lie beyond a limit and still count: rounding of drawings (rad)."""
TIE = 0.01
"""Edges that differ by less than this are equally long (mm)."""


@define(frozen=True, kw_only=True)
class Relief(Corners):
    """The cutter goes into inside corners between two straight edges until its edge just reaches the tip, and comes back.

    Towards the tip along the bisector, which takes least; or along the longer edge, into the shorter one: the notch then
    lies in one wall only. Of equally long edges it follows the one it comes along. A part with the corner's own angle then
    goes in; no way straight into the corner takes less. Both shapes are common practice in slotted sheet; the limits of
    the angles are from memory.
    """

    name: ClassVar[str] = "relief"
    toward: str = fields.choice(
        "where the relief goes: along the bisector, or along the longer edge",
        ("bisector", "longer"),
        default="bisector",
    )
    sharpest: float = fields.number(
        "sharper corners are left as round as the cutter", unit="deg", least=40, most=90, default=45.0
    )
    bluntest: float = fields.number("wider corners are left so too", unit="deg", least=90, most=175, default=140.0)

    def reliefs(self, loop: Curve, radius: float) -> Floats:
        """From each such corner of the way: rows (x, y, to_x, to_y)."""
        if not loop.closed:
            return np.zeros((0, 4))
        before, after = np.roll(loop.directions[:, 1], 1), loop.directions[:, 0]
        bend = (after - before + np.pi) % (2 * np.pi) - np.pi
        straight = np.abs(loop.turns) < 1e-12
        angle = np.pi - bend  # of the corner: between its edges, on the side of the waste
        low, high = np.radians([self.sharpest, self.bluntest])
        inside = straight & np.roll(straight, 1) & (bend > 1e-6)
        k = np.flatnonzero(inside & (angle > low - SLACK) & (angle < high + SLACK))
        short = np.where(inside, radius / np.tan(np.where(inside, angle, np.pi) / 2), 0.0)  # wall beyond the way's end
        edge = loop.lengths + short + np.roll(short, -1)
        if self.toward == "bisector":
            half = angle[k] / 2
            way, far = after[k] + half + np.pi, radius / np.sin(half) - radius
        else:
            mine, other = np.roll(edge, 1)[k], edge[k]
            way, far = np.where(mine > other - TIE, before[k], after[k] + np.pi), short[k]
        nodes = loop.nodes[k, :2]
        return np.column_stack([nodes, nodes + far[:, None] * np.column_stack([np.cos(way), np.sin(way)])])
