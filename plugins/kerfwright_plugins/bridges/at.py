"""Bridges at given points."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, ClassVar

import numpy as np
import shapely
from attrs import define, field

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.strategy import Bridge, Bridges
from kerfwright_plugins.bridges._straights import free, made, needs, raised, slope

__all__ = ["At"]

NEAR = 1.0
"""How far (mm) from an outline a point may lie that means a place on it (from memory)."""
BESIDE = 0.1
"""How much more than half a kerf may lie between the outline and the cutter's way (mm)."""


@define(frozen=True, kw_only=True)
class At(Bridges):
    """A bridge at each of the points, which lie on the outline in the coordinates of its drawing, within 1 mm.

    Every copy of the part has them at the same places. Where the operation works on several outlines, a point belongs to
    the nearest one; each outline needs two points or more.
    """

    name: ClassVar[str] = "at"
    at: tuple[tuple[float, float], ...] = fields.custom(
        "points on the outlines, drawing coordinates", "points", default=(), example=((10.0, 0.0), (30.0, 0.0))
    )
    slope: float = slope()

    def __attrs_post_init__(self) -> None:
        said: Any = self.at
        ok = isinstance(said, tuple) and all(isinstance(p, tuple) and len(p) == 2 for p in said)
        if not ok or not all(type(v) in (int, float) and math.isfinite(v) for p in said for v in p):
            raise ValueError(f"at: found {said!r}, allowed: points, ((x, y), …)")

    @property
    def _spots(self) -> Floats:
        """The points (m, 2) in the frame of the way that is asked about."""
        return np.array(self.at, float).reshape(-1, 2)

    def places(self, loop: Curve, kerf: float) -> list[Bridge]:
        """Where the way passes the points. Raises NoRoom where one lies elsewhere, in a corner, or beside another."""
        spots, each = self._spots, raised(self, kerf, self.slope)
        if len(spots) < 2:
            raise NoRoom(f"found {len(spots)} points for bridges, allowed: two or more on each outline")
        s, away = _along(loop, spots)
        good, _ = free(loop, s, each, kerf)
        for k in range(len(s)):
            if away[k] > kerf / 2 + BESIDE:
                raise NoRoom(f"the cutter's way does not pass the bridge at {_point(self.at[k])}")
            if not good[k]:
                raise NoRoom(f"the bridge at {_point(self.at[k])} needs {needs(each, kerf)}")
        order = np.argsort(s, kind="stable")
        gaps = np.diff(np.append(s[order], s[order[0]] + loop.length)) if loop.closed else np.diff(s[order])
        if (gaps <= each).any():
            k = int(np.argmax(gaps <= each))
            one, other = self.at[order[k]], self.at[order[(k + 1) % len(order)]]
            raise NoRoom(
                f"the bridges at {_point(one)} and {_point(other)} lie {gaps[k]:.1f} mm apart, allowed: more than {each:.1f} mm"
            )
        return made(self, s.tolist(), self.slope)

    def drawn(self, outline: Curve, outlines: Sequence[Curve]) -> Bridges:
        """Only those points that lie nearest to this outline of all, put on it. Raises NoRoom where one lies on none."""
        spots = self._spots
        paths = [one.path(0.0005) for one in outlines]
        away = shapely.distance(shapely.points(spots)[:, None], np.array(paths, object)[None])
        for k in np.flatnonzero(away.min(1) > NEAR).tolist():
            raise NoRoom(
                f"the point {_point(self.at[k])} lies {away[k].min():.3f} mm from the outline, allowed: at most {NEAR:g} mm"
            )
        mine = [k for k in range(len(spots)) if outlines[int(np.argmin(away[k]))] is outline]
        if len(mine) < 2:
            raise NoRoom(f"found {len(mine)} points for bridges on it, allowed: two or more on each outline")
        path = outline.path(0.0005)
        put = shapely.line_interpolate_point(path, shapely.line_locate_point(path, shapely.points(spots[mine])))
        return self._with(tuple(self.at[k] for k in mine), shapely.get_coordinates(put))

    def placed(self, move: Callable[[Floats], Floats]) -> Bridges:
        """The same, its points moved."""
        return self._with(self.at, move(self._spots))

    def _with(self, at: tuple[tuple[float, float], ...], spots: Floats) -> Bridges:
        said: dict[str, Any] = {"width": self.width, "thickness": self.thickness, "slope": self.slope, "at": at}
        return _Put(**said, spots=tuple(map(tuple, spots.tolist())))


@define(frozen=True, kw_only=True)
class _Put(At):
    """The points as drawn, to name them, and where those came to lie."""

    spots: tuple[tuple[float, float], ...] = field(default=())

    @property
    def _spots(self) -> Floats:
        return np.array(self.spots, float).reshape(-1, 2)


def _along(loop: Curve, spots: Floats) -> tuple[Floats, Floats]:
    """Lengths (m,) on a loop nearest to points, and how far those lie from it."""
    p = loop.flat(0.0005)[0][:, :2]
    a, d = p[:-1], np.diff(p, axis=0)
    long = np.maximum((d * d).sum(1), 1e-18)
    f = np.clip(((spots[:, None] - a) * d).sum(-1) / long, 0, 1)
    away = np.hypot(*np.moveaxis(a + f[..., None] * d - spots[:, None], -1, 0))
    k = np.argmin(np.round(away, 6), axis=1)
    s, row = np.concatenate([[0.0], np.cumsum(np.sqrt(long))]), np.arange(len(spots))
    return (s[k] + f[row, k] * (s[k + 1] - s[k])) * loop.length / s[-1] % loop.length, away[row, k]


def _point(p: tuple[float, float]) -> str:
    return f"({p[0]:g}, {p[1]:g})"
