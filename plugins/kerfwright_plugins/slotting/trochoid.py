"""The kerf in loops, so that the cutter's edge is never in the material all around."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
import shapely
from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.room import Room
from kerfwright.strategy import Slotting
from kerfwright_plugins.slotting._engaged import engagement, straight

__all__ = ["Trochoid"]

WIDE = 0.6
"""Radius of the loops, as a part of the cutter's radius (from memory: a kerf of 1.5 to 2 diameters is usual)."""
SMALLEST = 0.15
"""Radius of the smallest loop, as a part of the cutter's radius."""
SLACK = 0.002
"""A loop may touch the edge of its room (mm)."""
FINEST = 0.02
"""The least step from one loop to the next, as a part of the cutter's radius."""
MOST = 20_000
"""More loops than this on one outline are a mistake in its parameters."""
HALVINGS = 12
ALIKE = 1.03
"""A step that could be longer by less is long enough."""


@define(frozen=True, kw_only=True)
class Trochoid(Slotting):
    """Loops of the center beside the outline, on the side where waste is, that touch it; a kerf wider than the cutter.

    The step from loop to loop is found from geometry: on no loop but the first is more of the edge engaged than on a
    straight cut at the operation's radial depth. Loops grow smaller where the room does; where not even the smallest fits,
    which has a seventh of the cutter's radius, the full kerf is cut there. The feed counts at the cutter's edge.
    """

    name: ClassVar[str] = "trochoid"
    width: float | None = fields.number(
        "width of the kerf", unit="mm", above=0, most=100, optional=True, otherwise="1.6 times the cutter's diameter"
    )

    def slot(self, loop: Curve, room: Room, radius: float, advance: float) -> Curve:
        """Full circles put in along the outline. Raises NoRoom where there is none for any."""
        wanted = WIDE * radius if self.width is None else self.width / 2 - radius
        if wanted < SMALLEST * radius:
            least = 2 * (1 + SMALLEST) * radius
            raise NoRoom(f"a kerf of {2 * (wanted + radius):.4g} mm, allowed: {least:.4g} mm or more with this cutter")
        bound = straight(advance, radius)
        edge = shapely.boundary(room.polygon)
        shapely.prepare([edge, room.polygon])
        places, sizes = [], []
        s, guess, last = 0.0, 0.0, None
        while s < loop.length - 1e-9:
            size, middle = self._loop(loop, s, wanted, edge, room.polygon, radius)
            if size:
                places.append(s)
                sizes.append(size)
                last = middle, size
                if len(places) > MOST:
                    raise NoRoom(
                        f"it would take more than {MOST} loops: allowed: a wider kerf or a greater radial depth"
                    )
            ahead = self._next(loop, s, wanted, edge, room.polygon, radius, bound, last if size else None, guess)
            s, guess = ahead, ahead - s
        if not places:
            raise NoRoom(f"no loop of {2 * SMALLEST * radius:.3g} mm fits beside it")
        return _looped(loop, np.array(places), np.array(sizes))

    def _loop(
        self, loop: Curve, s: float, wanted: float, edge: shapely.Geometry, polygon: shapely.Geometry, radius: float
    ) -> tuple[float, Floats]:
        """Radius and middle of the largest loop that touches the outline at a length; radius 0 where none fits."""
        points, directions = loop.at([s])
        foot, a = points[0, :2], float(directions[0])
        left = np.array([-np.sin(a), np.cos(a)])
        low, high = 0.0, wanted
        size = wanted
        for _ in range(HALVINGS):
            middle = shapely.points(foot + size * left)
            if shapely.distance(edge, middle) >= size - SLACK and shapely.intersects(polygon, middle):
                if size == high:
                    break
                low = size
            else:
                high = size
            size = (low + high) / 2
        else:
            size = low
        size = size if size >= SMALLEST * radius else 0.0
        return size, foot + size * left

    def _next(
        self,
        loop: Curve,
        s: float,
        wanted: float,
        edge: shapely.Geometry,
        polygon: shapely.Geometry,
        radius: float,
        bound: float,
        last: tuple[Floats, float] | None,
        guess: float,
    ) -> float:
        """Length at which the next loop touches: as far on as the bound allows, within a few hundredths; where there was none, a
        little.
        """
        short = FINEST * radius
        if last is None:
            return s + 4 * short

        def fits(step: float) -> bool:
            size, middle = self._loop(loop, min(s + step, loop.length), wanted, edge, polygon, radius)
            return bool(size) and engagement(middle - last[0], size, last[1] + radius, radius) <= bound

        low, high = short, min(2 * radius, loop.length - s + short)
        if short < guess < high:  # most steps are as long as the one before
            if not fits(guess):
                high = guess
            elif not fits(ALIKE * guess):
                low = high = guess
            else:
                low = ALIKE * guess
        if low < high and fits(high):
            low = high
        while high - low > 0.02 * low:
            middle = (low + high) / 2
            low, high = (middle, high) if fits(middle) else (low, middle)
        step = low
        for corner in loop.s[(loop.s > s + short) & (loop.s < s + step)].tolist():
            near = self._last(loop, s, corner, wanted, edge, polygon, radius)
            if near > s + short:  # a smaller loop first: the less stands where the way goes in
                return near
        return s + step

    def _last(
        self,
        loop: Curve,
        s: float,
        corner: float,
        wanted: float,
        edge: shapely.Geometry,
        polygon: shapely.Geometry,
        radius: float,
    ) -> float:
        """The last length before a node at which a loop fits."""
        low, high = s, corner
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self._loop(loop, middle, wanted, edge, polygon, radius)[0] else (low, middle)
        return low


def _looped(loop: Curve, places: Floats, sizes: Floats) -> Curve:
    """The outline with a full circle, counter-clockwise, put in at each of some lengths."""
    whole, _ = loop.split(places)
    at = np.clip(np.searchsorted(whole.s, places - 1e-7), 0, len(whole))
    _, a = loop.at(places)
    left = np.column_stack([-np.sin(a), np.cos(a), 0 * a])
    foot = whole.nodes[at]
    nodes = np.insert(
        whole.nodes, np.repeat(at + 1, 2), np.stack([foot + 2 * sizes[:, None] * left, foot], 1).reshape(-1, 3), axis=0
    )
    turns = np.insert(whole.turns, np.repeat(at, 2), np.pi)
    return Curve(nodes, turns)
