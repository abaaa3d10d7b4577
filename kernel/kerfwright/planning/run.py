"""Planar ways with the cutter down, ready for levels; and blocks of them that a route puts in order."""

from __future__ import annotations

from attrs import define

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.planning.tidying import tidied
from kerfwright.room import Room
from kerfwright.strategy import Entry

__all__ = ["Block", "Run", "turned"]


@define(frozen=True, eq=False)
class Run:
    """One way, open or closed, in its climb frame; role and waste side of each segment, and the room it is cut in.

    `trial` is the first way down, which shows what the `entry` takes up. `told`: what was done otherwise than first
    meant, and why. `spring`: how often the last lap is cut again before the way is left. `laps`: closed ways along the
    walls that are cut at the floor once all else is done, each with lengths where it may start, and how often. `depth`: the
    radial depth (mm) that its feed is meant for, None where that is the full kerf.
    """

    curve: Curve
    roles: Ints
    waste: Ints
    room: Room
    trial: Curve
    entry: Entry
    told: tuple[str, ...] = ()
    spring: int = 0
    laps: tuple[tuple[Curve, Floats, int], ...] = ()
    depth: float | None = None


@define(frozen=True, eq=False)
class Block:
    """Runs in fixed order, shifted by `by` (climb frame, mm); `row` of the loop that surrounds what they cut.

    `level` tells blocks of one loop apart that must follow each other: the lower comes first.
    """

    runs: tuple[Run, ...]
    by: tuple[float, float]
    row: int
    level: int = 0


def turned(curve: Curve, s: float, *marks: Ints) -> tuple[Curve, tuple[Ints, ...]]:
    """A closed curve that starts at length `s`, and what belongs to its segments carried along; no node more than needed."""
    new, old = curve.begun_at(s)
    return (curve, marks) if new is curve else tidied(new, *(m[old] for m in marks))
