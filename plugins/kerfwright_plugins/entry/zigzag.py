"""Down to and fro on a straight piece."""

from __future__ import annotations

import math
from typing import ClassVar

import numpy as np
from attrs import define

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.room import Room
from kerfwright.strategy import Entry
from kerfwright_plugins.entry._fro import SHORTEST, angle_need, to_and_fro

__all__ = ["Zigzag"]

STRAIGHT = 1e-6
"""Bend (rad) up to which two lines are one."""
TRIES = 16
"""Lengths tried beside an arc, from the asked one down."""


@define(frozen=True, kw_only=True)
class Zigzag(Entry):
    """To and fro on the straight piece where the cut starts, at one slope (ISO 14649-11's plunge_zigzag).

    Where the cut starts on an arc, as in a round hole, on a straight line square to it on the side of the waste, as far as
    the room allows. The angle's default is common practice in laminate: 2 to 5 degrees; that of the length is from memory.
    """

    name: ClassVar[str] = "zigzag"
    angle: float = fields.number("slope of the way down", unit="deg", least=0.1, most=45, default=3.0)
    length: float = fields.number("how far each time, at most", unit="mm", least=0.1, most=100, default=5.0)

    def enter(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        """Back at the start. Raises NoRoom where the cut has no straight piece there, nor room for one."""
        piece = self._on(cut) or self._beside(cut, room)
        if piece is None:
            raise NoRoom(f"at the start of the cut there is no straight piece of {SHORTEST:g} mm")
        return to_and_fro(piece, angle_need(top, bottom, self.angle)).at_z(top, bottom), 0.0

    def _on(self, cut: Curve) -> Curve | None:
        """The straight piece of the cut from its start."""
        bends = np.abs(np.angle(np.exp(1j * (cut.directions[1:, 0] - cut.directions[0, 1]))))
        straight = (cut.turns == 0) & np.concatenate([[True], bends < STRAIGHT])
        n = len(cut) if straight.all() else int(np.argmin(straight))
        far = min(self.length, float(cut.s[n]))
        return cut.between(0.0, far) if far >= SHORTEST else None

    def _beside(self, cut: Curve, room: Room) -> Curve | None:
        """The longest straight line in the room from the cut's start to its left."""
        (x, y, _), (direction,) = cut.at(0.0)[0][0], cut.at(0.0)[1]
        c, s = math.cos(direction + math.pi / 2), math.sin(direction + math.pi / 2)
        for far in np.geomspace(self.length, SHORTEST, TRIES).tolist():
            line = Curve.line([[x, y], [x + far * c, y + far * s]])
            if room.fits(line):
                return line
        return None
