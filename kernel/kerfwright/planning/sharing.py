"""Bridges that neighbours have in common: two that lie side by side across one kerf would be one, too wide."""

from __future__ import annotations

import numpy as np
import shapely

from kerfwright.arrays import Floats
from kerfwright.planning.held import Held

__all__ = ["shared"]


def shared(held: Held, radius: Floats) -> Held:
    """Without those that another one stands for already: it comes first, is as wide, as thick and as steep, goes all the
    way across to the other's wall, and a cutter (radius (m,) of each) does not pass between the two.
    """
    m = len(held)
    if m < 2:
        return held
    boxes = shapely.box(*held.boxes(0.0).T)
    pairs = shapely.STRtree(boxes).query(boxes, predicate="dwithin", distance=2 * float(radius.max()))
    first, later = pairs[:, pairs[0] < pairs[1]]
    order = np.lexsort((first, later))
    dropped = np.zeros(m, bool)
    for a, b in zip(first[order].tolist(), later[order].tolist(), strict=True):
        if not dropped[a] and _stands_for(held, a, b, float(min(radius[a], radius[b]))):
            dropped[b] = True
    return held.take(np.flatnonzero(~dropped))


def _stands_for(held: Held, a: int, b: int, radius: float) -> bool:
    like = all(v[a] == v[b] or abs(v[a] - v[b]) < 1e-9 for v in (held.half, held.z, held.slope))
    q = held.wall[b] - held.wall[a]
    out = held.out[a]
    along, aside = float(q @ out), abs(float(q[0] * out[1] - q[1] * out[0]))
    facing = float(held.out[a] @ held.out[b]) < 0
    across = along > 0 and held.far[a] > along - radius
    return bool(like and facing and across and aside - 2 * held.half[a] < 2 * radius)
