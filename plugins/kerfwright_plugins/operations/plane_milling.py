"""Plane milling (ISO 14649): a face is skimmed, over its edges and around what stands on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

import numpy as np
import shapely
from attrs import frozen

from kerfwright import fields
from kerfwright.errors import NoRoom
from kerfwright.offset import offset
from kerfwright.operation import OUTER, RATES, Answering
from kerfwright.selection import Selection
from kerfwright.spot import Spot
from kerfwright.way import Clear

if TYPE_CHECKING:
    from kerfwright.strategy import Cover, Entry, Passes, Strategy

__all__ = ["PlaneMilling"]

SLIVER = 0.02
"""Regions of less extent than this (mm) are none: a way in them is smaller than what the text can say."""


@frozen(kw_only=True)
class PlaneMilling(Answering):
    """Takes `depth` off the top face over the even-odd area of its outlines, the cutter running over their edges by its radius;
    keepouts stay clear by `clear`.

    To skim a board, make a job whose sheet is the board and whose part is the area that the next sheet will lie on.
    """

    kind = "plane_milling"
    forms: ClassVar[tuple[str, ...]] = ("end_mill",)
    over_keepouts: ClassVar[bool] = True

    select: Selection = fields.custom("which outlines", "select", default=OUTER)
    depth: float = fields.number("taken off the face", unit="mm", above=0, most=5)
    radial_depth: float | None = fields.number(
        "advance between cuts, a fraction of DC", above=0, most=0.9, optional=True, example=0.4, otherwise=RATES
    )
    clear: float = fields.number("between cutter and keepouts", unit="mm", least=0.5, most=50, default=1.0)
    entry: Entry | None = fields.strategy("entry", "way down into the material")
    passes: Passes | None = fields.strategy("passes", "depths of the passes")
    cover: Cover | None = fields.strategy("cover", "ways that clear the area")
    lead: Strategy | None = fields.strategy("lead", "way to the wall and from it")

    def ways(self, spot: Spot) -> list[Clear]:
        """The area without what is too near to keepouts."""
        area = shapely.build_area(shapely.multilinestrings([one.curve.polygon().exterior for one in spot.loops]))
        if spot.keepouts:
            near = offset(np.array(spot.keepouts, object), self.cutter.radius + self.clear)
            area = shapely.difference(area, shapely.union_all(near))
        parts = shapely.get_parts(shapely.orient_polygons(area))
        b = shapely.bounds(parts)
        parts = parts[np.maximum(b[:, 2] - b[:, 0], b[:, 3] - b[:, 1]) > SLIVER] if len(parts) else parts
        if not len(parts):
            raise NoRoom(f"keepouts leave a cutter of {self.cutter.cuts:g} mm nowhere to stand")
        told = (
            f"the face lies {self.depth:g} mm lower after this: touch Z off again before anything is laid or cut on it"
        )
        return [Clear(part, spot.indices[0], (told,)) for part in parts]
