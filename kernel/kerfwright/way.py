"""What an operation beyond the core answers the planner: data, never steps of a program."""

from __future__ import annotations

import shapely
from attrs import define

from kerfwright.curve import Curve

__all__ = ["Clear", "Way"]


@define(frozen=True, eq=False)
class Way:
    """A way of the cutter's tip that is followed from start to end. Program XY; Z is minus the depth below the sheet's top.

    The planner goes straight down at its start, in as many passes as the axial depth asks for; a curve of one node is a
    plunge. `waste` is the side on which material goes, seen along travel: 1 left, -1 right, 0 both. `told`: what the user
    should hear of it.
    """

    curve: Curve
    waste: int = 0
    told: tuple[str, ...] = ()


@define(frozen=True, eq=False)
class Clear:
    """An area in which the cutter's center may go, all of which is cleared to the operation's `depth`, with its own
    strategies for entry, passes, cover and lead. `loop` is the place in the piece's loops of the outline it belongs to.
    """

    area: shapely.Polygon
    loop: int
    told: tuple[str, ...] = ()
