"""Straight down."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright.strategy import Entry

__all__ = ["Toolaxis"]


@define(frozen=True, kw_only=True)
class Toolaxis(Entry):
    """Straight down at the start of the cut, along the axis of the tool (ISO 14649-11's plunge_toolaxis)."""

    name: ClassVar[str] = "toolaxis"

    def enter(self, cut: Curve, top: float, bottom: float, room: Room) -> tuple[Curve, float]:
        """One plunge."""
        x, y = cut.start[:2]
        return Curve.line([[x, y, top], [x, y, bottom]]), 0.0
