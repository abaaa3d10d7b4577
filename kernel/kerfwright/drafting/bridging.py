"""Bridges that a draft asks for, and which outlines have room for them."""

from __future__ import annotations

from typing import Any

from attrs import frozen

from kerfwright.drafting.sorting import Sorted
from kerfwright.drafting.wish import Wish
from kerfwright.errors import NoRoom
from kerfwright.offset import offset
from kerfwright.recovery import recover
from kerfwright.registry import Registry
from kerfwright.sweep import rings_of

__all__ = ["Links", "linked", "roomless"]

LINKED = ("screws", "frame")
"""Holds that grip the sheet, not what is cut out of it."""


@frozen
class Links:
    """Bridges of a draft (mm): narrow and low enough to break by hand, two or more an outline (common practice)."""

    width: float
    thickness: float
    spacing: float

    def __str__(self) -> str:
        return f"{{width: {self.width:g}, thickness: {self.thickness:g}, spacing: {self.spacing:g}}}"


def linked(wish: Wish, spacing: float) -> Links | None:
    """A quarter of the sheet high, 0.3 to 1 mm and half of the sheet at most; wider in thick sheet (common practice, from
    memory). None where tape or vacuum holds.
    """
    if wish.hold not in LINKED:
        return None
    thick = 2.0 if wish.thickness is None else wish.thickness
    high = min(max(round(thick / 4, 1), 0.3), 1.0)
    return Links(0.8 if thick <= 3 else 1.2, round(min(high, thick / 2), 2), spacing)


def roomless(found: Sorted, loops: tuple[int, ...], links: Links, diameter: float, registry: Registry) -> list[int]:
    """Those of the loops along which a cutter finds no room for two bridges."""
    kind: Any = registry.strategies.get(("bridges", "spacing"))
    if kind is None:
        return []
    bridges = kind(width=links.width, thickness=links.thickness, spacing=links.spacing)
    out = []
    for k in loops:
        side = -1 if found.drawing.loops[k].depth % 2 else 1
        ways = recover(rings_of(offset(found.shapes[k], side * diameter / 2)))
        try:
            if not ways:
                raise NoRoom("the cutter does not get in")
            for way in ways:
                bridges(way, diameter)
        except NoRoom:
            out.append(k)
    return out
