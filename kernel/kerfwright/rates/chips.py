"""A chip that is thinner than a material's least rubs: it heats the edge and pushes layers instead of cutting them."""

from __future__ import annotations

import math

import attrs

from kerfwright.cutter import Cutter
from kerfwright.formulas import chip_thickness, feed_per_tooth
from kerfwright.machine import Machine
from kerfwright.operation import Operation
from kerfwright.rates.values import Rates

__all__ = ["faster_feed", "slower_spindle"]


def _thin(operation: Operation, radial: float) -> float:
    """Thickness of a chip as a part of the feed of a tooth: less than 1 beside a cut."""
    return chip_thickness(1.0, radial) if operation.kind == "pocket" and 0 < radial < 0.5 else 1.0


def slower_spindle(
    operation: Operation, cutter: Cutter, machine: Machine, spindle: float, feed: float, radial: float, least: float
) -> float:
    """The speed (rpm) at which a chip has at least `least` mm: `spindle` itself, or slower, but no slower than the machine turns.

    A burr's speed stays, and one that the operation says. A slower spindle cuts with more force: depths are chosen after it.
    """
    burr, thin = cutter.flutes == "burr", _thin(operation, radial)
    if burr or operation.spindle is not None or thin * feed / (spindle * cutter.teeth) >= least * (1 - 1e-9):
        return spindle
    slow = math.floor(thin * feed / (least * cutter.teeth) / 100) * 100.0
    return min(spindle, max(machine.spindle.least, slow))


def faster_feed(r: Rates, operation: Operation, cutter: Cutter, least: float, most_feed: float, why: str) -> Rates:
    """Rates whose chip has at least `least` mm: a faster feed with less depth, so that no more is cut in a minute than before.
    A chip that stays thinner is said to rub.

    What the operation says itself is never changed. A burr's teeth cannot be counted: its chip is that of a turn. A drill has
    no depth of pass: its feed stays. `most_feed` (mm/min) is what row and machine allow.
    """
    burr, drill = cutter.flutes == "burr", cutter.form == "drill"
    teeth = 1 if burr else cutter.teeth
    thin = _thin(operation, r.radial_depth)

    def chip() -> float:
        return thin * feed_per_tooth(r.feed, r.spindle, teeth)

    of = "a turn" if burr else "a tooth"
    enough = least * (1 - 1e-9)
    needed = min(math.ceil(least * teeth * r.spindle / thin - 1e-9), math.floor(most_feed + 1e-9))
    if chip() < enough and not drill and operation.feed is None and operation.axial_depth is None and needed > r.feed:
        text = f"raised from {r.feed:g} mm/min, so that the chip of {of} has {least:g} mm: {why}"
        less = max(math.floor(r.axial_depth * r.feed / needed * 100 + 1e-9) / 100, 0.01)
        lower = f"less than {r.axial_depth:g} mm, as the feed was raised to keep the chip; {r.sources['axial_depth']}"
        r = attrs.evolve(
            r, feed=float(needed), axial_depth=less, sources={**r.sources, "feed": text, "axial_depth": lower}
        )
    if chip() < enough:
        key = "plunge_feed" if drill else "feed"
        text = f"{r.sources[key]}; a chip of {chip():.4f} mm rubs, {least:g} mm are wanted: {why}"
        r = attrs.evolve(r, sources={**r.sources, key: text})
    return r
