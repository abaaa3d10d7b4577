"""No way to the wall of its own."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.curve import EMPTY, Curve
from kerfwright.room import Room
from kerfwright.strategy import Lead

__all__ = ["NoLead"]


@define(frozen=True, kw_only=True)
class NoLead(Lead):
    """The cut begins and ends on the wall itself."""

    name: ClassVar[str] = "none"

    def lead(self, cut: Curve, room: Room) -> tuple[Curve, Curve]:
        """Nothing before, nothing after."""
        return EMPTY, EMPTY
