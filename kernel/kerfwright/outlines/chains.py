"""Chains: pieces of outline as a drawing has them, many taken together so that numpy sees them at once."""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np
import shapely
from attrs import define

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.curve import SAME, Curve
from kerfwright.drawing import Remark

__all__ = ["Chain", "cleaned", "counted", "place", "together"]

TWICE = 0.002
"""Segments whose ends and middle lie nearer than this (mm), and than a tenth of their length, are one drawn twice."""


@define(frozen=True, eq=False)
class Chain:
    """A run of lines and arcs in drawing coordinates, open or closed; its layer; `path` is where it was said, for faults."""

    curve: Curve
    layer: str = ""
    path: str = ""


def place(xy: Sequence[float] | Floats) -> str:
    """Drawing coordinates for a message.

    >>> place((1.23456, -0.0001))
    '1.235, 0'
    """
    return ", ".join(f"{round(float(v), 3) + 0.0:.3f}".rstrip("0").rstrip(".") for v in xy[:2])


def counted(n: int, noun: str) -> str:
    """A number with its noun.

    >>> counted(1, "line"), counted(3, "line")
    ('1 line', '3 lines')
    """
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def together(curves: Sequence[Curve]) -> tuple[Curve, Ints]:
    """One curve with all of them in it, and which one each segment is of; -1 for the lines in between, which mean nothing."""
    count = np.array([len(c) for c in curves])
    owner = np.full(int(count.sum()) + len(curves) - 1, -1)
    turns = np.zeros(len(owner))
    real = np.ones(len(owner), bool)
    real[(np.cumsum(count) + np.arange(len(curves)))[:-1]] = False
    owner[real] = np.repeat(np.arange(len(curves)), count)
    turns[real] = np.concatenate([c.turns for c in curves])
    return Curve(np.vstack([c.nodes for c in curves]), turns), owner


def _runs(chain: Chain, keep: Bools) -> list[Chain]:
    """What is left of a chain, as one chain for each unbroken run."""
    edge = np.flatnonzero(np.diff(np.concatenate([[0], keep.astype(int), [0]])))
    return [
        attrs.evolve(chain, curve=Curve(chain.curve.nodes[a : b + 1], chain.curve.turns[a:b]))
        for a, b in edge.reshape(-1, 2)
    ]


def _twice(chains: Sequence[Chain], whole: Curve, owner: Ints) -> Bools:
    """Which segments of open chains are drawn twice, (segments of `whole`,)."""
    s = whole.s
    own = owner >= 0
    middle = whole.at((s[:-1] + s[1:]) / 2)[0][:, :2]
    closed = np.array([c.curve.closed for c in chains])[owner]
    points = shapely.points(middle)
    points[~own] = None
    i, j = shapely.STRtree(points).query(points, predicate="dwithin", distance=TWICE)
    i, j = i[i < j], j[i < j]
    a, b = whole.nodes[:-1, :2], whole.nodes[1:, :2]
    near = np.minimum(TWICE, 0.1 * np.minimum(whole.lengths[i], whole.lengths[j]))

    def meet(p: Floats, q: Floats) -> Bools:
        within: Bools = np.hypot(*(p[i] - q[j]).T) <= near
        return within

    same = (meet(a, a) & meet(b, b)) | (meet(a, b) & meet(b, a))
    i, j = i[same], j[same]
    gone = np.zeros(len(owner), bool)
    gone[j[~closed[j]]] = True
    gone[i[~closed[i] & closed[j]]] = True
    return gone


def cleaned(chains: Sequence[Chain]) -> tuple[list[Chain], list[Remark]]:
    """Without segments of no length and without lines and arcs drawn twice, each told in a Remark."""
    if not chains:
        return [], []
    remarks = []
    whole, owner = together([c.curve for c in chains])
    short = (whole.lengths <= SAME) & (owner >= 0)
    if short.any():
        out: list[Chain] = []
        ill = set(owner[short].tolist())
        for k, c in enumerate(chains):
            keep = c.curve.lengths > SAME if k in ill else None
            if keep is None:
                out.append(c)
            elif keep.any():
                nodes = np.vstack([c.curve.nodes[:-1][keep], c.curve.nodes[-1:]])
                out.append(attrs.evolve(c, curve=Curve(nodes, c.curve.turns[keep])))
        n = len(chains) - len(out)
        if n:
            remarks.append(Remark(f"{counted(n, 'line')} of no length left out"))
        chains = out
        if not chains:
            return [], remarks
        whole, owner = together([c.curve for c in chains])
    gone = _twice(chains, whole, owner)
    if not gone.any():
        return list(chains), remarks
    first = whole.nodes[np.flatnonzero(gone)[0], :2]
    remarks.append(
        Remark(
            f"{counted(int(gone.sum()), 'line or arc')} drawn twice left out, the first at {place(first)}".replace(
                "line or arcs", "lines or arcs"
            ),
            (float(first[0]), float(first[1])),
        )
    )
    ill = set(owner[gone].tolist())
    kept: list[Chain] = []
    for k, c in enumerate(chains):
        kept += _runs(c, ~gone[owner == k]) if k in ill else [c]
    return kept, remarks
