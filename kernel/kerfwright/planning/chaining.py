"""Ways of a pocket joined into runs: each closed one starts nearest to where the last ended, links stay down where safe."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.program import Role
from kerfwright.room import Room

__all__ = ["LINK", "chains"]

LINK = 1.5
"""A link is at most this many diameters long (from memory: what stays between neighbouring cuts, and a corner of it)."""


def chains(curves: Sequence[Curve], room: Room, radius: float, start: float) -> list[tuple[Curve, Ints]]:
    """Runs in the order of the curves, with the role of each segment. A link is straight, in the room and short.

    `start` is the length on the first curve where all begins, if that is closed.
    """
    ways: list[Curve] = []
    here: Floats | None = None
    for curve in curves:
        c = curve
        if c.closed:
            c = c.turned_to(start if here is None else _nearest(c, here))
        ways.append(c)
        here = c.end[:2]
    links = [Curve.line([a.end, b.start]) for a, b in zip(ways, ways[1:])]
    lengths = np.array([link.length for link in links])
    near = (lengths > 0) & (lengths <= 2 * LINK * radius)
    if near.any():
        near[near] = shapely.covers(room.wide, [link.path() for link, n in zip(links, near, strict=True) if n])
    meet = lengths == 0
    runs: list[tuple[Curve, Ints]] = []
    pieces: list[Curve] = []
    roles: list[Ints] = []
    for k, c in enumerate(ways):
        pieces.append(c)
        roles.append(np.full(len(c), Role.CONTACT, np.int64))
        if k < len(links) and (near[k] or meet[k]):
            if near[k]:
                pieces.append(links[k])
                roles.append(np.array([Role.CONNECT], np.int64))
            continue
        runs.append((Curve.join(pieces), np.concatenate(roles)))
        pieces, roles = [], []
    return runs


def _nearest(curve: Curve, here: Floats) -> float:
    """Length on a closed curve nearest to a point, to a few hundredths (mm)."""
    p = curve.flat(0.02)[0][:, :2]
    d = np.diff(p, axis=0)
    long = np.maximum((d * d).sum(1), 1e-18)
    f = np.clip(((here - p[:-1]) * d).sum(1) / long, 0, 1)
    gap = np.round(np.hypot(*(p[:-1] + f[:, None] * d - here).T), 6)
    k = int(np.argmin(gap))
    s = np.concatenate([[0.0], np.cumsum(np.sqrt(long))])
    return float((s[k] + f[k] * (s[k + 1] - s[k])) * curve.length / s[-1])
