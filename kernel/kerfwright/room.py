"""Where the cutter's center may go for one cut."""

from __future__ import annotations

from functools import cached_property

import shapely
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.curve import Curve

__all__ = ["Room", "mirror"]


def mirror(g: shapely.Geometry) -> shapely.Geometry:
    """Seen in a mirror (X changes sign), orientation of rings kept."""
    return shapely.orient_polygons(shapely.transform(g, lambda p: p * [-1.0, 1.0]))


@define(frozen=True, eq=False, slots=False)
class Room:
    """The cutter's center region of a cut: walls, other parts and keepouts are out. `besides`: reliefs of this cut, lines
    beyond the wall that its way may follow. `radius` of the cutter (mm), where it is known.
    """

    polygon: shapely.Geometry
    besides: shapely.Geometry | None = None
    radius: float | None = None

    @cached_property
    def wide(self) -> shapely.Geometry:
        """The polygon grown by the slack of arc recovery, prepared."""
        g = shapely.buffer(self.polygon, 0.004, quad_segs=2)
        shapely.prepare(g)
        return g

    def fits(self, curve: Curve) -> bool:
        """Whether a curve stays inside, in plan."""
        if not len(curve):
            return True
        path = curve.path(0.002)
        if shapely.covers(self.wide, path):
            return True
        if self.besides is None:
            return False
        return bool(shapely.covers(shapely.buffer(self.besides, 0.004), shapely.difference(path, self.wide)))

    def mirrored(self) -> Room:
        """The same room in the climb frame of a conventional cut."""
        return Room(mirror(self.polygon), None if self.besides is None else mirror(self.besides), self.radius)

    def beyond(self, reliefs: Floats) -> Room:
        """The same room for one cut that has reliefs, rows (x, y, to_x, to_y)."""
        if not len(reliefs):
            return self
        lines = shapely.multilinestrings(shapely.linestrings(reliefs.reshape(-1, 2, 2)))
        room = Room(self.polygon, lines, self.radius)
        room.__dict__["wide"] = self.wide
        return room
