"""Force, power and bending of a cut, for plans and not for safety: the maker's data and local rules stand above them.

The specific cutting force kc is the force for each mm2 of chip section. The mean force moves a wall: a spindle turns many times
faster than a machine can follow, and the edge leaves the wall where its chip is thin.
"""

from __future__ import annotations

import math

from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.formulas import cutting_speed
from kerfwright.machine import Machine

__all__ = [
    "CORE",
    "MODULUS",
    "RADIAL",
    "Load",
    "bending",
    "free_bending",
    "load",
    "power",
    "tangential_force",
]

CORE = 0.8
"""Of a cutter's diameter is left between its flutes (common practice)."""
MODULUS = 600e3
"""Young's modulus of cemented carbide in N/mm2 (from memory)."""
RADIAL = 0.5
"""Force square to the edge's way, as a part of the force along it (from memory)."""


def power(specific_force: float, radial: float, axial: float, feed: float) -> float:
    """Power at the edge (W): kc ae ap vf / 60,000, from N/mm2, mm, mm, mm/min. Source: machining handbooks, from memory.

    >>> power(300, 2, 1.5, 620)
    9.3
    """
    return specific_force * radial * axial * feed / 60_000


def tangential_force(watts: float, speed: float) -> float:
    """Mean force along the edge's way (N): 60 P / vc, from W and m/min.

    >>> round(tangential_force(9.3, 138.2), 2)
    4.04
    """
    return 60 * watts / speed


def bending(force: float, length: float, diameter: float) -> float:
    """Of a bar of carbide held at one end (mm): F L3 / 3 E I. Lengths in mm, force in N.

    >>> round(bending(6, 14, 0.8 * 2), 5)
    0.02843
    """
    return force * length**3 / (3 * MODULUS * math.pi * diameter**4 / 64)


def free_bending(force: float, cutter: Cutter) -> float:
    """At a cutter's tip (mm): its core over its flutes or its reach, its shank above them, up to the holder where one is said."""
    low = max(cutter.flute_length, cutter.reach or 0.0)
    high = max(cutter.holder.above if cutter.holder else low, low)
    core, shank = CORE * cutter.cuts, max(cutter.shank or cutter.cuts, CORE * cutter.cuts)
    return bending(force, low, core) + bending(force, high, shank) - bending(force, low, shank)


@frozen
class Load:
    """Of one cut: power (W), mean force along the edge's way and at the side (N), what the side force bends (mm; `machine` None
    where its stiffness is not known).
    """

    power: float
    force: float
    side: float
    cutter: float
    machine: float | None
    radial: float = 0.0
    """What it takes beside its way (mm), at most the cutter's diameter."""
    axial: float = 0.0
    """Depth of its pass (mm)."""

    @property
    def wall(self) -> float | None:
        """How far a wall moves (mm); None where that is not known."""
        return None if self.machine is None else self.cutter + self.machine


def load(
    specific_force: float, cutter: Cutter, machine: Machine, spindle: float, feed: float, axial: float, radial: float
) -> Load:
    """`radial` is in mm, at most the cutter's diameter; rpm, mm/min, mm."""
    radial = min(radial, cutter.cuts)
    watts = power(specific_force, radial, axial, feed)
    force = tangential_force(watts, cutting_speed(cutter.cuts, spindle))
    side = force * math.hypot(1.0, RADIAL)
    machine_bends = side / machine.stiffness if machine.stiffness else None
    return Load(watts, force, side, free_bending(side, cutter), machine_bends, radial, axial)
