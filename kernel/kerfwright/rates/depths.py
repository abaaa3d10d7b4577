"""How deep one pass may go: what flutes, spindle, cutter and machine can bear."""

from __future__ import annotations

import math
from collections.abc import Iterator

from kerfwright.cutter import Cutter
from kerfwright.forces import CORE, load
from kerfwright.machine import Machine
from kerfwright.operation import Operation

__all__ = ["SHARE", "STRESS", "depth_limits"]

STRESS = 600.0
"""Most stress by bending in a cutter's core (N/mm2): a fifth of what carbide breaks at, about 3,000 (from memory; a fifth is our choice)."""
SHARE = 0.5
"""Part of the tolerance that the side force may move a finished wall by (our choice). From a quarter on it is told."""


def depth_limits(
    operation: Operation,
    cutter: Cutter,
    machine: Machine,
    specific: float | None,
    spindle: float,
    feed: float,
    radial: float,
    tolerance: float,
) -> Iterator[tuple[float, str]]:
    """Depths (mm) with the reason, the least of which holds. `specific` cutting force in N/mm2, `radial` a fraction of DC, 0
    for a full cut. Forces grow in proportion to depth, so those of 1 mm tell the limit.
    """
    yield cutter.flute_length, "the cutter's flute length"
    if specific is None or cutter.form == "drill":
        return
    wide = radial * cutter.cuts if operation.kind == "pocket" and radial else cutter.cuts
    one = load(specific, cutter, machine, spindle, feed, 1.0, wide)
    if machine.spindle.power is not None:
        yield machine.spindle.power / one.power, f"what the spindle's {machine.spindle.power:g} W cut"
    core, free = CORE * cutter.cuts, max(cutter.flute_length, cutter.reach or 0.0)
    stress = 32 * one.side * free / (math.pi * core**3)
    yield STRESS / stress, f"what a core of {core:g} mm bears: {STRESS:g} N/mm2 by bending (from memory)"
    if one.wall is not None and not operation.allowance.side:
        most = SHARE * tolerance
        yield most / one.wall, f"a side force that moves the wall by {most:g} mm, half of the tolerance (our choice)"
