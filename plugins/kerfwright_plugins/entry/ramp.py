"""Down along the cut itself."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright import fields
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.room import Room
from kerfwright.strategy import Entry
from kerfwright_plugins.entry._fro import SHORTEST, angle_need, to_and_fro

__all__ = ["Ramp"]


@define(frozen=True, kw_only=True)
class Ramp(Entry):
    """Down along the cut at one slope: on and on around a closed cut, to and fro at the start of an open one.

    The way down is (top - bottom) / tan(angle) long. Around a closed cut it ends where that length is used up, and the
    cut goes on from there, so nothing is cut twice. The angle's default is common practice in laminate: 2 to 5 degrees.
    """

    name: ClassVar[str] = "ramp"
    angle: float = fields.number("slope of the way down", unit="deg", above=0, most=45, default=3.0)

    def enter(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        """Falls all the way. Raises NoRoom on a cut shorter than 0.05 mm."""
        need, have = angle_need(top, bottom, self.angle), cut.length
        if have < SHORTEST:
            raise NoRoom(f"a cut of {have:.3f} mm is too short for a ramp; enter along the tool axis there")
        if cut.closed:
            return self._around(cut, need).at_z(top, bottom), self._end(cut, need)
        return to_and_fro(cut, need).at_z(top, bottom), 0.0

    @staticmethod
    def _end(cut: Curve, need: float) -> float:
        """Length on a closed cut where the way ends; a ramp that stops just off the start goes to it."""
        at = need % cut.length
        return 0.0 if min(at, cut.length - at) < 1e-3 else at

    def _around(self, cut: Curve, need: float) -> Curve:
        at = self._end(cut, need)
        laps = max(round(need / cut.length), 1) if at == 0 else int(need // cut.length)
        return Curve.join([cut] * laps + ([cut.between(0.0, at)] if at else []))
