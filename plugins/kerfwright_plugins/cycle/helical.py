"""A hole wider than the cutter, on a helix."""

from __future__ import annotations

import math
from typing import ClassVar

from attrs import define

from kerfwright import fields
from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.strategy import Cycle

__all__ = ["Helical"]

OVERLAP = 0.95
"""Radius of the helix as a fraction of the cutter's, at most: further out a core would stand in the middle."""


@define(frozen=True, kw_only=True)
class Helical(Cycle):
    """Down in full turns a little off the wall, once around flat at the bottom, then once around along the wall.

    For holes wider than the cutter and less than twice as wide, which leave no core. Between the flat lap and the last,
    and away from it, half a turn that touches the wall. The angle's default is common practice in laminate: 2 to 5
    degrees; what the last lap takes is from memory.
    """

    name: ClassVar[str] = "helical"
    wide: ClassVar[bool] = True
    angle: float = fields.number("slope of the way down, at most", unit="deg", least=0.1, most=45, default=3.0)
    finish: float = fields.number("what the last lap takes, at most", unit="mm", above=0, most=2, default=0.1)

    def strokes(self, top: float, bottom: float) -> Floats:
        """Raises NoRoom: there is no helix in a hole of the cutter's own diameter."""
        raise NoRoom("a helix needs a hole wider than the cutter")

    def around(self, wider: float, cutter: float, top: float, bottom: float, axial_depth: float) -> Curve:
        """Counter-clockwise, so that the wall is on the right. Raises NoRoom where a core would stay in the middle."""
        inner = wider - min(self.finish, wider / 4)
        if inner > OVERLAP * cutter + 1e-9:
            most = 2 * (cutter + OVERLAP * cutter + self.finish)
            raise NoRoom(
                f"a hole of {2 * (wider + cutter):.4g} mm keeps a core, allowed: at most {most:.4g} mm; clear it as a pocket"
            )
        turn = Curve.circle(0, 0, inner)
        need = (top - bottom) / math.tan(math.radians(self.angle))
        turns = max(1, math.ceil(max(need / turn.length, (top - bottom) / axial_depth) - 1e-9))
        half = (wider - inner) / 2
        out = Curve.circle(-half, 0, inner + half, turn=math.pi)
        last = Curve.circle(0, 0, wider, start=math.pi)
        back = Curve.circle(-half, 0, inner + half, start=math.pi, turn=math.pi)
        flat = Curve.join([turn, out, last, back])
        return Curve.join([Curve.join([turn] * turns).at_z(top, bottom), flat.at_z(bottom)])
