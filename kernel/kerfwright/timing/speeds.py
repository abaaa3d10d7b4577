"""Looking ahead and back: how fast the cutter can be at each node."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kerfwright.arrays import Floats

__all__ = ["node_speeds"]


def node_speeds(most: Floats, lengths: Floats, accelerations: Floats) -> Floats:
    """Speeds (m+1,) in mm/s: the greatest below `most` (m+1,) that each piece can reach from the last, and leave for the next.

    v2 grows by 2 a s along a piece at most. Two runs, one after the other in plain floats: each value waits for its neighbour.
    """
    gains = (2 * accelerations * lengths).tolist()
    squares = _reached((most * most).tolist(), gains)
    back = _reached(squares[::-1], gains[::-1])
    speeds: Floats = np.sqrt(np.array(back[::-1]))
    return speeds


def _reached(most: Sequence[float], gains: Sequence[float]) -> list[float]:
    """Squares of the speeds at all nodes (m+1) by what has been gained up to there (m)."""
    square = most[0]
    out = [square]
    for gain, top in zip(gains, most[1:], strict=True):
        square = square + gain if square + gain < top else top
        out.append(square)
    return out
