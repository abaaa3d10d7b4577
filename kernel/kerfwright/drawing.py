"""A drawing: closed outlines nested to any depth, each with its layer."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

import attrs
import numpy as np
import shapely
from attrs import define, field, frozen

from kerfwright.curve import Curve

__all__ = ["Drawing", "Line", "Loop", "Remark", "RoundHole"]


@frozen
class Remark:
    """Something odd in a drawing that was mended or passed over: what, and where (drawing coordinates, mm)."""

    message: str
    at: tuple[float, float] | None = None


@frozen
class RoundHole:
    """A loop that is a full circle: center and diameter (mm)."""

    x: float
    y: float
    diameter: float


@define(frozen=True, eq=False, slots=False)
class Loop:
    """One closed outline: planar, counter-clockwise, simple; its layer; its nesting depth in the drawing (0 outer).

    `parent` is the index of the loop around it in its drawing, -1 for none.
    """

    curve: Curve
    layer: str = ""
    depth: int = 0
    parent: int = -1

    @cached_property
    def circle(self) -> RoundHole | None:
        """What circle it is, where all its segments are arcs about one center within 0.002 mm, or a fine polygon of one.

        A polygon counts when it has 16 or more nodes within 0.002 mm of one circle, and the middles of its sides within
        0.01 mm: coarser ones are meant as polygons.
        """
        c = self.curve
        arcs = bool((np.abs(c.turns) > 1e-12).all())
        if not arcs and len(c) < 16:
            return None
        p = c.flat(0.0005)[0][:-1, :2]
        lo, hi = p.min(0), p.max(0)
        size = hi - lo
        if np.ptp(size) > 0.02 + 0.02 * size.max():
            return None
        # algebraic least squares: x2 + y2 + a x + b y + c = 0
        mid = (lo + hi) / 2
        q = p - mid
        a = np.column_stack([q, np.ones(len(q))])
        s, *_ = np.linalg.lstsq(a, -(q * q).sum(1), rcond=None)
        center = -s[:2] / 2
        r = np.hypot(*(q - center).T)
        radius = float(r.mean()) if arcs else float(r.max())
        sides = np.hypot(*((q + np.roll(q, -1, axis=0)) / 2 - center).T)
        if np.abs(r - radius).max() > 0.002 or np.abs(sides - radius).max() > 0.01:
            return None
        x, y = (float(v) for v in mid + center)
        return RoundHole(x, y, 2 * radius)

    def moved(self, dx: float, dy: float, turn: float = 0.0) -> Loop:
        """Turned about the origin (degrees, counter-clockwise), then shifted."""
        return attrs.evolve(self, curve=(self.curve.rotated(turn) if turn else self.curve).moved(dx, dy))


@define(frozen=True, eq=False)
class Line:
    """An open line that an operation may follow, and its layer. It bounds nothing: it may cross outlines and other lines."""

    curve: Curve
    layer: str = ""


@define(frozen=True, eq=False)
class Drawing:
    """Closed outlines that neither cross nor touch, nesting worked out; `remarks` say what was odd. `lines`: open ones, only
    on layers where the job wants them.
    """

    loops: tuple[Loop, ...]
    remarks: tuple[Remark, ...] = field(default=())
    lines: tuple[Line, ...] = field(default=())

    @classmethod
    def nested(cls, loops: Sequence[Loop], remarks: Sequence[Remark] = (), areas: Any = None) -> Drawing:
        """With nesting depth and parent of every loop from their positions, all counter-clockwise.

        The loops must lie 0.002 mm or more from each other. `areas` are their polygons, chords within 0.0005 mm, where
        they are known already.
        """
        curves = [c if c.signed_area > 0 else c.reversed() for c in (one.curve for one in loops)]
        if areas is None:
            areas = np.array([c.polygon() for c in curves], object)
        around: list[list[int]] = [[] for _ in loops]
        if len(loops):
            inner, outer = shapely.STRtree(areas).query(
                shapely.points([c.start[:2] for c in curves]), predicate="within"
            )
            size = shapely.area(areas)
            for i, o in zip(inner.tolist(), outer.tolist(), strict=True):
                if i != o and size[o] > size[i]:
                    around[i].append(o)
        out = []
        for k, one in enumerate(loops):
            parent = min(around[k], key=lambda o: float(size[o]), default=-1)
            out.append(attrs.evolve(one, curve=curves[k], depth=len(around[k]), parent=parent))
        return cls(tuple(out), tuple(remarks))

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Exact extent (x0, y0, x1, y1) of all loops."""
        b = np.array([one.curve.bounds for one in self.loops])
        return float(b[:, 0].min()), float(b[:, 1].min()), float(b[:, 2].max()), float(b[:, 3].max())
