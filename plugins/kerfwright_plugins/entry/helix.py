"""Down on a screw beside the cut."""

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
from kerfwright_plugins.entry._fro import angle_need

__all__ = ["Helix"]

WIDEST = 0.9
"""Radius of the helix as a fraction of the cutter's: its own sweep leaves no pin standing in the middle (from memory)."""
LEAST = 0.1
"""As a fraction of the cutter's radius: narrower is a plunge in disguise (from memory)."""
TRIES = 12
"""Radii tried between the two."""


@define(frozen=True, kw_only=True)
class Helix(Entry):
    """Full turns beside the cut, on the side of the waste, that touch its start (ISO 14649-11's plunge_helix).

    As wide as the room allows, at most `radius`; without one, at most 0.9 of the cutter's radius, so that no pin stays in
    the middle. The slope is `angle` or less: the last turn ends at the bottom. The angle's default is common practice in
    laminate: 2 to 5 degrees.
    """

    name: ClassVar[str] = "helix"
    angle: float = fields.number("slope of the way down, at most", unit="deg", least=0.1, most=45, default=3.0)
    radius: float | None = fields.number(
        "radius of the cutter center's way, at most",
        unit="mm",
        above=0,
        most=100,
        optional=True,
        otherwise=f"{WIDEST:g} of the cutter's radius",
    )

    def enter(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        """Turns to the left, back to the start. Raises NoRoom where no circle fits beside the start."""
        cutter = room.radius or 1.0
        widest = WIDEST * cutter if self.radius is None else self.radius
        least = min(LEAST * cutter, widest)
        (x, y, _), (direction,) = cut.at(0.0)[0][0], cut.at(0.0)[1]
        for radius in np.linspace(widest, least, TRIES).tolist():
            turn = _turn(x, y, direction, radius)
            if room.fits(turn):
                turns = max(1, math.ceil(angle_need(top, bottom, self.angle) / turn.length - 1e-9))
                return Curve.join([turn] * turns).at_z(top, bottom), 0.0
        raise NoRoom(f"beside the start not even a helix of {least:.3g} mm radius fits")


def _turn(x: float, y: float, direction: float, radius: float) -> Curve:
    """Once around counter-clockwise from (x, y) back to it, touching the direction there."""
    left = direction + math.pi / 2
    turn = Curve.circle(x + radius * math.cos(left), y + radius * math.sin(left), radius, start=direction - math.pi / 2)
    return Curve(np.vstack([[x, y, 0.0], turn.nodes[1:-1], [x, y, 0.0]]), turn.turns)
