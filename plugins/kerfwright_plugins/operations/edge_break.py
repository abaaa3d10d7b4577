"""Edges broken: the tip runs beside the edge, in the kerf or the air below it, and the cone's flank makes the bevel."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
import shapely
from attrs import frozen

from kerfwright import fields
from kerfwright.errors import NoRoom
from kerfwright.offset import offset, recover, rings_of
from kerfwright.operation import OUTER, Answering
from kerfwright.selection import Selection
from kerfwright.spot import Spot
from kerfwright.way import Way

__all__ = ["EdgeBreak"]

NEAR = 0.003
"""By so much (mm) a way may come nearer to a wall than was asked: arcs recovered, and chords."""


@frozen(kw_only=True)
class EdgeBreak(Answering):
    """A bevel of `width`, seen from above, along the top of outlines that the job cuts through, before or after that.

    The angle is the cutter's. The tip stays beside the edge, on the side of the kerf, `below` the foot of the bevel.
    """

    kind = "edge_break"
    forms: ClassVar[tuple[str, ...]] = ("chamfer_mill",)

    select: Selection = fields.custom("which outlines", "select", default=OUTER)
    width: float = fields.number("width of the bevel, seen from above", unit="mm", least=0.05, most=10)
    below: float = fields.number(
        "how far the tip runs below the foot of the bevel", unit="mm", least=0.05, most=5, default=0.2
    )

    def ways(self, spot: Spot) -> list[Way]:
        """Once around each outline, with the wall on the right where it is climbed."""
        cutter = self.cutter
        beside = cutter.radius_at(0.0) + self.below * cutter.taper
        if beside + self.width > cutter.radius + 1e-9:
            most = 2 * (cutter.radius - beside)
            raise NoRoom(
                f"the cone of {cutter.name} makes a bevel of {most / 2:.4g} mm at most, not of {self.width:g} mm"
            )
        deep = self.width / cutter.taper + self.below
        climb, out = self.cutmode != "conventional", []
        for loop, index in zip(spot.loops, spot.indices, strict=True):
            x, y = loop.curve.bounds[:2]
            where = f"the outline at ({x:.3f}, {y:.3f})"
            side = spot.made.get(index)
            if side not in ("outside", "inside"):
                how = "is cut through by no operation" if side is None else "is cut along its middle"
                raise NoRoom(f"{where} {how}; allowed: an outline that a profile cuts through on one side")
            moved = offset(loop.curve.polygon(), beside if side == "outside" else -beside)
            if shapely.is_empty(moved):
                raise NoRoom(f"{where}: the tip does not go into it")
            for curve in recover(rings_of(moved)):
                way = curve if (side == "inside") == climb else curve.reversed()
                self._clear(spot, index, shapely.LineString(way.flat(0.001)[0][:, :2]), beside)
                middle = way.s[k := int(np.argmax(way.lengths))] + way.lengths[k] / 2
                out.append(Way(way.turned_to(float(middle)).at_z(-deep), 1 if climb else -1))
        return out

    def _clear(self, spot: Spot, mine: int, path: shapely.LineString, beside: float) -> None:
        """Other walls of the piece keep their edges, but for what is broken of them too."""
        for k, other in enumerate(spot.piece.loops):
            need = beside + (0.0 if k in spot.indices else self.width)
            away = shapely.distance(path, other.curve.path(0.001))
            if k != mine and away < need - NEAR:
                x, y = other.curve.bounds[:2]
                raise NoRoom(
                    f"its cone would touch the outline at ({x:.3f}, {y:.3f}), {away:.4g} mm from the tip's way"
                )
