"""An area cleared in rows, to and fro."""

from __future__ import annotations

from typing import ClassVar

import shapely
from attrs import define
from shapely import affinity

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.strategy import Cover
from kerfwright_plugins.cover._detours import detoured
from kerfwright_plugins.cover._rings import SLACK
from kerfwright_plugins.cover._rows import rows

__all__ = ["Bidirectional"]


@define(frozen=True, kw_only=True)
class Bidirectional(Cover):
    """Parallel rows to and fro (ISO 14649-11's bidirectional), then a lap along every wall and island.

    Rows end half an advance short of the lap, at most a radius, so that no row touches a finished wall; each goes on to
    the next along the wall. Where islands or the walls' shape split the rows, the area is cut cell by cell. Every other
    row is conventional whatever the cutmode, only the laps keep to it. What would be left in corners is taken by short
    detours. The angle counts from X of the sheet, as program zero lies. Its default, along X, is common practice.
    """

    name: ClassVar[str] = "bidirectional"
    angle: float = fields.number("direction of the rows, from X to Y", unit="deg", least=0, most=180, default=0.0)

    def cover(self, region: shapely.Polygon, radius: float, advance: float) -> list[Curve]:
        """An open curve for each cell, then closed laps. Raises NoRoom where there is no region."""
        if shapely.is_empty(region):
            raise NoRoom("the area has no place for the cutter's center")
        inner = offset(region, -min(advance / 2, radius - 2 * SLACK))
        cells = rows(affinity.rotate(inner, -self.angle, origin=(0, 0)), advance)
        curves = [Curve.line(shapely.get_coordinates(affinity.rotate(c, self.angle, origin=(0, 0)))) for c in cells]
        laps = recover(rings_of(region)[::-1])
        return detoured(region, curves + laps, radius)
