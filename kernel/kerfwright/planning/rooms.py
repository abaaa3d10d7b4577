"""Where the cutter's center may go for a cut: built from the nesting of all loops on the sheet, keepouts out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.curve import Curve
from kerfwright.offset import offset
from kerfwright.planning.nesting import Nest
from kerfwright.planning.walls import Wall
from kerfwright.room import Room

__all__ = ["Rooms"]

SLACK = 0.003
"""By how much (mm) a way may come nearer than a radius: recovery of arcs, and chords."""


@define(frozen=True, eq=False, slots=False)
class Rooms:
    """Rooms for cutters of one radius, program frame. `clear` is how far the center keeps from every wall: the radius, and
    what is left at the side.
    """

    nest: Nest
    radius: float
    clear: float

    @cached_property
    def grown(self) -> Any:
        """What the center must keep out of: material of parts, filled, then keepouts."""
        return offset(self._things, self.clear, 0.001)

    @cached_property
    def _things(self) -> Any:
        areas = [*self.nest.areas[self.nest.solid], *[area for area, _ in self.nest.setup.keepouts]]
        out = np.empty(len(areas), object)
        out[:] = areas
        return out

    @cached_property
    def tree(self) -> shapely.STRtree:
        """Of `grown`."""
        return shapely.STRtree(self.grown)

    def natural(self, row: int, side: str) -> bool:
        """Whether the side that goes is waste; else the cut may leave its line nowhere."""
        up = int(self.nest.parent[row])
        inside = bool(self.nest.open_[row])
        outside = up < 0 or bool(self.nest.open_[up])
        return (side == "outside" and outside and not inside) or (side == "inside" and inside)

    def around(self, row: int, wall: Wall) -> Room:
        """For a way along a wall of a loop."""
        if not self.natural(row, wall.side):
            return on_line(wall.curve)
        room = self._without(row, self._free(row, wall), wall)
        if room.fits(wall.curve) or not self._clear(row, wall.curve):
            return room
        # as narrow as the cutter itself: nothing but the way is left
        return Room(shapely.union(room.polygon, on_line(wall.curve).polygon), radius=self.radius)

    def _free(self, row: int, wall: Wall) -> shapely.Geometry:
        """As far as the outline itself and the one around it say."""
        if wall.region is not None:
            return wall.region
        far = max(12 * self.radius, 12.0)
        x0, y0, x1, y1 = wall.curve.bounds
        free: shapely.Geometry = shapely.box(x0 - far, y0 - far, x1 + far, y1 + far)
        up = int(self.nest.parent[row])
        if up >= 0:
            free = shapely.intersection(free, offset(self.nest.areas[up], -self.clear, 0.001))
        return shapely.difference(free, wall.grown)

    def _clear(self, row: int, way: Curve) -> bool:
        """Whether a way keeps clear of all that stands."""
        path, up = way.path(0.0005), int(self.nest.parent[row])
        things = [self._things[k] for k in self._in_the_way(row, self.tree.query(path).tolist())]
        if up >= 0 and self.nest.open_[up]:
            things.append(self.nest.areas[up].exterior)
        return bool((shapely.distance(path, things) > self.clear - SLACK).all()) if things else True

    def _without(self, row: int, free: shapely.Geometry, wall: Wall) -> Room:
        """Without what stands in it; what the way cannot come to is no room."""
        out = self._in_the_way(row, self.tree.query(free, predicate="intersects").tolist())
        if out:
            free = shapely.difference(free, shapely.union_all(self.grown[out]))
        elif wall.region is not None:
            return Room(free, radius=self.radius)
        parts = shapely.get_parts(shapely.orient_polygons(free))
        parts = parts[shapely.dwithin(parts, shapely.points(wall.curve.start[:2]), 0.01)]
        return Room(shapely.multipolygons(parts) if len(parts) != 1 else parts[0], radius=self.radius)

    def _in_the_way(self, row: int, found: Iterable[int]) -> list[int]:
        """Of what was found: neither the loop itself nor what it lies in. Sorted, so that answers repeat."""
        own = {row, *self.nest.around(row)}
        solid = self.nest.solid
        return [k for k in sorted(found) if k >= len(solid) or int(solid[k]) not in own]

    def crowded(self, rows: Sequence[int], boxes: Any) -> list[bool]:
        """Whether anything may stand in each of several boxes, besides the loop of its row and those around it."""
        found: list[list[int]] = [[] for _ in rows]
        for i, k in self.tree.query(boxes).T.tolist():
            found[i].append(k)
        return [bool(self._in_the_way(row, some)) for row, some in zip(rows, found, strict=True)]

    def blocked_by(self, row: int, way: Curve) -> str:
        """What leaves a way no room: part or keepout, and where."""
        path = way.path(0.002)
        solid = self.nest.solid
        for k in self._in_the_way(row, self.tree.query(path, predicate="intersects").tolist()):
            hit = shapely.intersection(path, shapely.buffer(self.grown[k], -0.004))
            if hit.is_empty:
                continue
            x, y = shapely.get_coordinates(hit)[0]
            what = (
                self.nest.label(int(solid[k]))
                if k < len(solid)
                else f"the keepout at {_middle(self.nest.setup.keepouts[k - len(solid)][0])}"
            )
            return f"{what} stands in the way at ({x:.3f}, {y:.3f})"
        return "the outline around it leaves no room"


def on_line(curve: Curve) -> Room:
    """A way that may be left nowhere."""
    return Room(shapely.buffer(curve.path(0.002), 0.002, quad_segs=2))


def _middle(area: shapely.Polygon) -> str:
    c = area.centroid
    return f"({c.x:.3f}, {c.y:.3f})"
