"""Which cutters of the tables a draft takes: drills for holes of their diameter, and the largest mill that reaches all else."""

from __future__ import annotations

import math
from collections.abc import Mapping

from attrs import Factory, define, frozen

from kerfwright.cutter import Cutter
from kerfwright.drafting.fitting import Missed, Waste, waste
from kerfwright.drafting.radii import Radius
from kerfwright.drafting.sorting import Hole, Sorted
from kerfwright.drafting.wish import BOARD, BREAKTHROUGH, Wish

__all__ = ["ENTERS", "Tool", "Tooling", "tooled"]

DRILLS = 0.05
"""A drill stands for a hole that differs by this at most (mm): half of a job's default tolerance, the rest is the machine's."""
ENTERS = 1.2
"""So many times its diameter a hole must have for a mill to clear it: chips need a way out (common practice)."""
LOOSE = 0.05
"""A gap must be wider than the mill by this much (mm), an inside radius need not: in a gap it must get in (from memory)."""
THIN = 1.5
"""A mill thinner than this (mm) breaks easily: it makes what nothing else can, not whole outlines (common practice)."""


@frozen
class Tool:
    """A cutter and its name in the tables, '' for one that stands in none."""

    cutter: Cutter
    table: str


@define(frozen=True, eq=False)
class Tooling:
    """Cutters by their names in the job, and the name of the one that makes each hole that is not bridged.

    `largest` is the greatest diameter (mm) that reaches every corner and gap, holes that are milled counted in,
    `reaches` without those, and `limit` where a larger one would fail; `hole` the smallest hole that is milled, where that is what limits it.
    `missed` is what the chosen mill does not reach.
    """

    tools: Mapping[str, Tool]
    of: Mapping[Hole, str]
    largest: float
    reaches: float
    limit: Missed | None
    hole: Hole | None
    missed: Missed | None
    sharp: Waste
    unmade: tuple[Hole, ...] = ()
    """Holes too small for every cutter there is."""
    words: tuple[str, ...] = Factory(tuple)
    """What is odd about the choice."""

    @property
    def mill(self) -> Tool:
        """The one that makes the outlines."""
        return self.tools["mill"]


def tooled(found: Sorted, wish: Wish, cutters: Mapping[str, Cutter], radius: Radius | None) -> Tooling:
    """Choose from the tables."""
    drills = [Tool(c, name) for name, c in cutters.items() if c.form == "drill" and _suits(c, wish)]
    mills = sorted(
        (Tool(c, n) for n, c in cutters.items() if c.form == "end_mill" and _suits(c, wish)),
        key=lambda t: _rank(t, wish),
    )
    tools: dict[str, Tool] = {}
    of: dict[Hole, str] = {}
    for hole in found.small:
        near = min(drills, key=lambda t: abs(t.cutter.diameter - hole.diameter), default=None)
        if near is not None and abs(near.cutter.diameter - hole.diameter) <= DRILLS + 1e-9:
            of[hole] = next((k for k, t in tools.items() if t == near), "") or f"drill{len(tools) + 1 if tools else ''}"
            tools[of[hole]] = near
    milled = [h for h in found.small if h not in of]
    area = waste(found.standing())
    sizes = [t.cutter.diameter for t in mills]
    largest, limit = area.largest(sizes, None if radius is None else radius.radius)
    fits = largest if limit is None or (radius is not None and radius.limits(largest)) else largest - LOOSE
    least = min(milled, key=lambda h: h.diameter, default=None)
    for_holes = least.diameter / ENTERS if least else largest
    words: list[str] = []
    if wish.cutter is not None:
        mill = Tool(wish.cutter, wish.cutter_name)
        words += _unsuited(wish.cutter, wish)
    else:
        mill = _largest(mills, min(fits, for_holes), THIN) or _largest(mills, fits) or _least(mills, wish, words)
    tools["mill"] = mill
    unmade = []
    for hole in milled:
        if mill.cutter.diameter * ENTERS <= hole.diameter + 1e-9:
            of[hole] = "mill"
            continue
        fine = tools.get("fine") or _largest(mills, least.diameter / ENTERS if least else 0.0)
        if fine is None:
            unmade.append(hole)
            continue
        tools["fine"], of[hole] = fine, "fine"
    limited = least if least is not None and for_holes < largest else None
    return Tooling(
        tools,
        of,
        math.floor(min(largest, for_holes) * 100 + 1e-6) / 100,
        largest,
        limit,
        limited,
        area.missed(mill.cutter.diameter),
        area,
        tuple(unmade),
        tuple(words),
    )


def _suits(c: Cutter, wish: Wish) -> bool:
    """Long enough for the sheet, and the material has rates for it."""
    point = c.point_length
    long = wish.deep is None or c.flute_length >= wish.deep + point - 1e-9
    known = wish.material is None or wish.material.row(c) is not None
    return long and known and BREAKTHROUGH + point < BOARD


def _rank(tool: Tool, wish: Wish) -> tuple[float, int, int, str]:
    """Largest first; of one size burrs in laminate, single teeth in what melts, else upward flutes (common practice)."""
    c, stuff = tool.cutter, wish.material
    laminate = stuff is None or stuff.laminate
    order = (
        ("burr", "compression", "up", "straight", "down")
        if laminate
        else ("up", "straight", "compression", "down", "burr")
    )
    return -c.diameter, order.index(c.flutes), c.teeth if stuff is not None and stuff.melts else 0, tool.table


def _largest(mills: list[Tool], most: float, least: float = 0.0) -> Tool | None:
    return next((t for t in mills if least - 1e-9 <= t.cutter.diameter <= most + 0.005), None)


def _least(mills: list[Tool], wish: Wish, words: list[str]) -> Tool:
    """The smallest there is, and words that it is not small enough; an invented one where the tables have none."""
    if mills:
        small = mills[-1].cutter.diameter
        return next(t for t in mills if t.cutter.diameter == small)
    stuff = "this sheet" if wish.material is None else wish.material.name
    words.append(
        f"no end mill of the tables has rates for {stuff} and flutes of {wish.deep or 0:g} mm: say your own in `cutters`"
    )
    flutes = "burr" if wish.material is not None and wish.material.laminate else "up"
    long = 8.0 if wish.deep is None else max(8.0, round(wish.deep + 2))
    return Tool(Cutter(form="end_mill", flutes=flutes, diameter=2.0, teeth=2, flute_length=long), "")


def _unsuited(c: Cutter, wish: Wish) -> list[str]:
    out = []
    if wish.deep is not None and c.flute_length < wish.deep:
        out.append(
            f"the cutter's flutes of {c.flute_length:g} mm are too short: a through cut is {wish.deep:g} mm deep"
        )
    if wish.material is not None and wish.material.row(c) is None:
        out.append(
            f"{wish.material.name} has no rates for this cutter: give spindle, feed, plunge_feed and depths yourself"
        )
    return out
