"""A chip that is thinner than a material's least rubs: it heats the edge and pushes layers instead of cutting them."""

from __future__ import annotations

import math

import attrs

from kerfwright.cutter import Cutter
from kerfwright.formulas import chip_thickness, feed_per_tooth
from kerfwright.machine import Machine
from kerfwright.operation import Operation
from kerfwright.rates.values import Rates

__all__ = ["kept_chip"]


def kept_chip(
    r: Rates, operation: Operation, cutter: Cutter, machine: Machine, least: float, most_feed: float, why: str
) -> Rates:
    """Rates whose chip has at least `least` mm: a slower spindle first, then a faster feed with less depth, so that no more is
    cut in a minute than before. A chip that stays thinner is said to rub.

    What the operation says itself is never changed. A burr's teeth cannot be counted: its chip is that of a turn, and its
    speed stays. A drill has no depth of pass: only its speed can help. `most_feed` (mm/min) is what row and machine allow.
    """
    burr, drill = cutter.flutes == "burr", cutter.form == "drill"
    teeth = 1 if burr else cutter.teeth
    beside = operation.kind == "pocket" and 0 < r.radial_depth < 0.5
    thin = chip_thickness(1.0, r.radial_depth) if beside else 1.0

    def chip() -> float:
        return thin * feed_per_tooth(r.feed, r.spindle, teeth)

    of = "a turn" if burr else "a tooth"
    enough = least * (1 - 1e-9)
    if chip() < enough and not burr and operation.spindle is None:
        slower = max(machine.spindle.least, math.floor(thin * r.feed / (least * teeth) / 100) * 100.0)
        if slower < r.spindle:
            text = f"slower than {r.spindle:.0f} rpm, so that a chip has {least:g} mm: {why}"
            r = attrs.evolve(r, spindle=slower, sources={**r.sources, "spindle": text})
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
