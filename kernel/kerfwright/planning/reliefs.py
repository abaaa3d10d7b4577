"""Reliefs of corners spliced into a cut: after slot and cover, which would have to leave the room for them."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.curve import Curve

__all__ = ["spliced"]


def spliced(cut: Curve, reliefs: Floats) -> Curve:
    """Straight out from nodes of the cut and back, rows (x, y, to_x, to_y). A relief at no node of this cut is not its own."""
    for x, y, to_x, to_y in reliefs:
        away = np.hypot(*(cut.nodes[:-1, :2] - [x, y]).T)
        k = int(np.argmin(away))
        if away[k] < 1e-5:
            nodes = np.insert(cut.nodes, [k + 1, k + 1], [[to_x, to_y, 0.0], cut.nodes[k]], axis=0)
            cut = Curve(nodes, np.insert(cut.turns, [k, k], 0.0))
    return cut
