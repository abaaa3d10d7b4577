"""Feeds of the slots: from below the table's first feed to the fastest that material, spindle and machine allow."""

from __future__ import annotations

import math

from attrs import frozen

from kerfwright.coupons.asked import Asked
from kerfwright.errors import Fault, InputError
from kerfwright.forces import power
from kerfwright.operation import PACES, Profile
from kerfwright.rates import Rates, choose

__all__ = ["SLOW", "Ladder", "ladder", "rungs"]

SLOW = 0.6
"""The slowest slot has no less than this part of the first feed: slower still, most cutters only rub (from memory)."""
NEAR = 1.25
"""Where chips would be too thin below the first feed, the slowest slot is no faster than this times the feed of the least chip."""
LEFT = 0.3
"""Left standing under a slot that does not go through, at least (mm; our choice)."""
ROUND = (100, 50, 25, 20, 10, 5, 2, 1)
"""Steps of feed that can be read at a glance, the roundest first (mm/min)."""


@frozen
class Ladder:
    """`feeds` rise (mm/min). `depth` None: through. `rates`: speed and depth of all slots. `paces`: feed of each by the table.
    `limit`: what holds the last feed back, in words.
    """

    feeds: tuple[float, ...]
    depth: float | None
    rates: Rates
    paces: tuple[tuple[str, Rates], ...]
    limit: str


def rungs(first: float, last: float, slowest: float, steps: int) -> tuple[float, ...]:
    """`steps` feeds in equal round steps up to `last` or just below it; the lowest is below `first` and not below `slowest`.

    Empty where there is none.

    >>> rungs(500, 1000, 300, 6)
    (375.0, 500.0, 625.0, 750.0, 875.0, 1000.0)
    >>> rungs(500, 500, 490, 12)
    ()
    """
    for unit in ROUND:
        top = math.floor(last / unit + 1e-9) * unit
        most = math.floor((top - slowest) / (steps - 1) / unit + 1e-9) * unit
        if most > 0 and top - most * (steps - 1) < first:
            return tuple(float(top - most * k) for k in reversed(range(steps)))
    return ()


def ladder(asked: Asked, steps: int) -> Ladder:
    """The feeds, at the speed and depth of the first pace. Raises InputError where they leave no room for so many."""
    depth = _depth(asked)
    slow = Profile(cutter=asked.cutter, depth=depth)
    through = 0.0 if asked.board is None else asked.deepest - asked.thickness
    first = choose(slow, asked.material, asked.machine, "first", asked.thickness, through)
    fixed = Profile(cutter=asked.cutter, depth=depth, spindle=first.spindle)
    bold = choose(fixed, asked.material, asked.machine, "proven", asked.thickness, through)
    last, limit = bold.feed, bold.sources["feed"]
    strongest = _strongest(asked, first, depth)
    if strongest < last:
        last, limit = strongest, f"as much as the spindle's {asked.machine.spindle.power:g} W cut at this depth"
    slowest = SLOW * min(first.feed, last)
    row = asked.row
    if row.least_chip is not None and asked.cutter.flutes != "burr":
        slowest = max(slowest, row.least_chip * asked.cutter.teeth * first.spindle)
    below = min(max(first.feed, NEAR * slowest), last)
    feeds = rungs(below, last, slowest, steps)
    if not feeds:
        text = f"found {steps}, allowed: fewer; between {slowest:.0f} and {last:.0f} mm/min ({limit}) there is no room for them"
        raise InputError([Fault("--steps", text)])
    paces = tuple((p, choose(slow, asked.material, asked.machine, p, asked.thickness, through)) for p in PACES)
    return Ladder(feeds, depth, first, paces, limit)


def _depth(asked: Asked) -> float | None:
    """Through into a board; else one pass, and never so deep that it goes through."""
    if asked.board is not None:
        return None
    deep = max(asked.thickness - LEFT, asked.thickness / 2)
    one = choose(Profile(cutter=asked.cutter, depth=deep), asked.material, asked.machine, "first", asked.thickness)
    return round(min(deep, one.axial_depth), 2)


def _strongest(asked: Asked, rates: Rates, depth: float | None) -> float:
    """The feed that takes all of the spindle's power in a full slot; infinite where nothing is known of it."""
    force, have = asked.material.cutting_force, asked.machine.spindle.power
    if force is None or have is None:
        return math.inf
    axial = min(rates.axial_depth, asked.deepest if depth is None else depth)
    return have / power(force, asked.cutter.cuts, axial, 1.0)
