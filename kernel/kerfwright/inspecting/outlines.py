"""Sizes of one outline: over all, across an opening, across a gap in an outer one."""

from __future__ import annotations

from collections.abc import Iterator

from kerfwright.curve import Curve
from kerfwright.drawing import Loop
from kerfwright.inspecting.facing import back, directions, extremes, facing, walls
from kerfwright.inspecting.size import Size

__all__ = ["gaps", "openings", "overall"]


def overall(loop: Loop, index: int) -> Iterator[Size]:
    """Over all in X and Y: square where walls or round ends lie at both extremes."""
    for angle in (0.0, 90.0):
        turned: Curve = loop.curve.rotated(-angle)
        ends, square = [], True
        for at, side in zip(extremes(turned).tolist(), (1, -1), strict=True):
            there = [w for w in walls(loop.curve, angle) if w.side == side and abs(w.at - at) < 1e-3]
            square &= bool(there)
            nodes = turned.nodes
            across = (there[0].low + there[0].high) / 2 if there else float(nodes[abs(nodes[:, 0] - at).argmin(), 1])
            ends.append(back(angle, at, across))
        low, high = extremes(turned).tolist()
        noun = "disc" if loop.circle else "over all"
        yield Size("outside", noun, high - low, angle, (ends[0], ends[1]), (index,), square=square)


def openings(loop: Loop, index: int) -> Iterator[Size]:
    """Across an opening that is no circle, square to its straight walls and along them."""
    area = loop.curve.polygon()
    for angle in directions(loop.curve):
        for one in facing(loop.curve, area, angle, inside=True):
            ends = (back(angle, one.first.at, one.across), back(angle, one.second.at, one.across))
            yield Size("inside", "opening", one.size, angle, ends, (index,))


def gaps(loop: Loop, index: int) -> Iterator[Size]:
    """Across gaps in an outer outline, between straight walls along X or Y."""
    area = loop.curve.polygon()
    for angle in (0.0, 90.0):
        for one in facing(loop.curve, area, angle, inside=False):
            ends = (back(angle, one.first.at, one.across), back(angle, one.second.at, one.across))
            yield Size("inside", "gap", one.size, angle, ends, (index,))
