"""Ways raised over bridges: last of all, so that entry, lead, cut, link and other operations' cuts all pay heed."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.curve import EMPTY, SAME, Curve
from kerfwright.planning.held import Held

__all__ = ["lifted", "near", "raised"]


def lifted(curve: Curve, held: Held, radius: float) -> tuple[Curve, Ints]:
    """Nowhere deeper than the top of a bridge that a cutter of `radius` touches; and the old segment of each new one."""
    many, flank = len(curve), float(np.max((held.z - curve.nodes[:, 2].min()) / held.slope, initial=0.0))
    if flank > 0:
        curve = Curve.join([curve, _onward(curve, flank)])
    old = np.arange(len(curve))
    for z, slope in sorted(set(zip(held.z.tolist(), held.slope.tolist(), strict=True))):
        some = held.take(np.flatnonzero((held.z == z) & (held.slope == slope)))
        curve, by = raised(curve, near(curve, some, radius), z, slope)
        old = old[by]
    keep = int(np.count_nonzero(old < many))
    return Curve(curve.nodes[: keep + 1], curve.turns[:keep]), old[:keep]


def _onward(curve: Curve, length: float) -> Curve:
    """How the way would go on where it ends on itself, as a lap does after a ramp: a flank may reach back over its end."""
    again = np.abs(curve.nodes[:, :2] - curve.end[:2]).max(1) < SAME
    again &= (curve.s < curve.length - SAME) & (np.abs(curve.nodes[:, 2] - curve.end[2]) < SAME)
    if not again.any():
        return EMPTY
    s = float(curve.s[np.flatnonzero(again)[-1]])
    return curve.between(s, min(s + length, curve.length)).at_z(float(curve.end[2]))


def near(curve: Curve, held: Held, radius: float) -> Floats:
    """Stretches (k, 2) of length where the cutter touches a strip (XY).

    Sampled at an eighth of the radius, ends by bisection of all at once: a graze of less than 1 % of it may be missed.
    """
    length = curve.length
    s = np.union1d(curve.s, np.linspace(0, length, int(np.ceil(length / radius * 8)) + 2))
    inside = _inside(curve.at(s)[0][:, :2], held, radius)
    m, k = np.nonzero((inside[1:] != inside[:-1]).T)
    low, high, was = s[k], s[k + 1], inside[k, m]
    some = held.take(m)
    for _ in range(40 if len(k) else 0):
        mid = (low + high) / 2
        same = (_own_gap(some, curve.at(mid)[0][:, :2]) < radius - SAME) == was
        low, high = np.where(same, mid, low), np.where(same, high, mid)
    first, last = np.flatnonzero(inside[0]), np.flatnonzero(inside[-1])
    edge = np.concatenate([np.zeros(len(first)), np.where(was, high, low), np.full(len(last), length)])
    own = np.concatenate([first, m, last])
    return edge[np.lexsort((edge, own))].reshape(-1, 2)


def _inside(xy: Floats, held: Held, radius: float) -> Bools:
    """Which points (n, 2) touch which strips, (n, m)."""
    out = np.zeros((len(xy), len(held)), bool)
    for k, (x0, y0, x1, y1) in enumerate(held.boxes(radius)):
        some = np.flatnonzero((xy[:, 0] > x0) & (xy[:, 0] < x1) & (xy[:, 1] > y0) & (xy[:, 1] < y1))
        out[some, k] = held.take(np.array([k])).gap(xy[some])[:, 0] < radius - SAME
    return out


def _own_gap(held: Held, xy: Floats) -> Floats:
    """Distance of the k-th point to the k-th strip."""
    q = xy - held.wall
    u = (q * held.out).sum(1)
    v = np.abs(q[:, 0] * held.out[:, 1] - q[:, 1] * held.out[:, 0])
    gap: Floats = np.hypot(np.maximum(np.maximum(-u, u - held.far), 0), np.maximum(v - held.half, 0))
    return gap


def raised(curve: Curve, stretches: Floats, z: float, slope: float = np.inf) -> tuple[Curve, Ints]:
    """Z nowhere below `z` on the stretches (k, 2); flanks upright, or falling with `slope` (mm per mm) outside of them.

    Also the old segment of each new one: an upright flank belongs to the segment after it.
    """
    st = stretches.reshape(-1, 2)
    low = float(curve.nodes[:, 2].min())
    if not len(st) or not len(curve) or low >= z - SAME:
        return curve, np.arange(len(curve))
    flank = 0.0 if np.isinf(slope) else (z - low) / slope
    st = st[_deep(curve, st, flank, z)]
    # where a flank meets each level that is cut
    level = curve.nodes[1:, 2][(np.diff(curve.nodes[:, 2]) == 0) & (curve.nodes[1:, 2] < z)]
    runs = (z - np.unique(np.append(level, low))) / slope
    cuts = np.concatenate([st.ravel(), (st[:, :1] - runs).ravel(), (st[:, 1:] + runs).ravel()])
    c, old = curve.split(np.clip(cuts, 0, curve.length))
    a, b = c.s[:-1], c.s[1:]
    z0, z1 = c.nodes[:-1, 2].copy(), c.nodes[1:, 2].copy()
    for begin, end in st:
        if flank == 0:
            mid = (a + b) / 2
            # at the very ends of the curve there is nothing beside the stretch: what stands there is on it
            on = (mid > (begin + SAME if begin > 0 else -1)) & (mid < (end - SAME if end < curve.length else np.inf))
            z0, z1 = np.where(on, np.maximum(z0, z), z0), np.where(on, np.maximum(z1, z), z1)
        else:
            z0 = np.maximum(z0, z - slope * np.maximum(0, np.maximum(begin - a, a - end)))
            z1 = np.maximum(z1, z - slope * np.maximum(0, np.maximum(begin - b, b - end)))
    at = np.flatnonzero(np.concatenate([[False], np.abs(z1[:-1] - z0[1:]) > 1e-9]))
    nodes = np.vstack([[*c.nodes[0, :2], z0[0]], np.column_stack([c.nodes[1:, :2], z1])])
    nodes = np.insert(nodes, at + 1, np.column_stack([c.nodes[at, :2], z0[at]]), axis=0)
    return Curve(nodes, np.insert(c.turns, at, 0.0)), np.insert(old, at, old[at])


def _deep(curve: Curve, stretches: Floats, flank: float, z: float) -> Bools:
    """Which stretches, with their flanks, have a part of the curve below z."""
    deep = np.minimum(curve.nodes[:-1, 2], curve.nodes[1:, 2]) < z - SAME
    count = np.concatenate([[0], np.cumsum(deep)])
    first = np.searchsorted(curve.s[1:], stretches[:, 0] - flank, side="left")
    last = np.searchsorted(curve.s[:-1], stretches[:, 1] + flank, side="right")
    found: Bools = count[last] > count[np.minimum(first, last)]
    return found
