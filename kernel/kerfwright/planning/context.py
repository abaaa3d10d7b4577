"""What all stages of one operation look at."""

from __future__ import annotations

from functools import cached_property
from typing import TypeVar

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.errors import NoRoom
from kerfwright.operation import Operation
from kerfwright.planning.faults import refused
from kerfwright.planning.nesting import Nest
from kerfwright.planning.rooms import Rooms
from kerfwright.setup import Setup, Work
from kerfwright.strategy import Entry, Passes, Strategy

__all__ = ["Context"]

S = TypeVar("S", bound=Strategy)


@define(frozen=True, eq=False, slots=False)
class Context:
    """One operation on its sheet. In the climb frame of a conventional cut X is mirrored.

    `bridged` are rows of loops whose bridges this operation places; every other one heeds them.
    """

    setup: Setup
    work: Work
    nest: Nest
    rooms: Rooms
    bridged: frozenset[int]

    @property
    def operation(self) -> Operation:
        """Geometry plus parameters."""
        return self.work.operation

    def of(self, kind: type[S]) -> S:
        """The operation's strategy of a kind; placing has filled it in."""
        found = getattr(self.operation, kind.kind)
        if not isinstance(found, kind):
            raise TypeError(f"{self.work.path} has no {kind.kind}: place() fills every strategy in")
        return found

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Ways down in the order they are tried: the operation's own first."""
        return (self.of(Entry), *(e for e in self.work.instead.get(Entry.kind, ()) if isinstance(e, Entry)))

    @property
    def radius(self) -> float:
        """Of the cutter, mm."""
        return self.operation.cutter.radius

    @property
    def clear(self) -> float:
        """How far the cutter's center keeps from a wall, mm: its radius, and what is left at the side."""
        return self.radius + self.operation.allowance.side

    @property
    def flip(self) -> bool:
        """Conventional is climb seen in a mirror."""
        return self.operation.cutmode == "conventional"

    @cached_property
    def sign(self) -> Floats:
        """From the climb frame to the program and back, (2,)."""
        return np.array([-1.0 if self.flip else 1.0, 1.0])

    @property
    def advance(self) -> float:
        """Between neighbouring cuts, mm."""
        return self.work.rates.radial_depth * self.operation.cutter.cuts

    @property
    def top(self) -> float:
        """Z where material begins: the sheet's own top counts where it is thickest."""
        h = self.setup.heights
        return h.highest if self.operation.start == 0 else h.at(self.operation.start)

    @property
    def bottom(self) -> float:
        """Z of the floor, at full diameter."""
        return self.setup.heights.floor_of(self.operation)

    @cached_property
    def levels(self) -> Floats:
        """Z of each pass. Raises InputError where the passes as asked contradict the operation."""
        zero = self.setup.heights.top
        try:
            z = self.of(Passes)(self.top - zero, self.bottom - zero, self.work.rates.axial_depth)
        except NoRoom as e:
            raise refused(self.setup, self.work, str(e), "passes") from e
        return np.append(z[:-1] + zero, self.bottom)

    @property
    def first(self) -> tuple[float, float]:
        """Heights between which the first entry goes."""
        return self.top, float(self.levels[0])

    def rows(self) -> list[int]:
        """Rows of the loops worked on."""
        return [self.nest.row(key) for key in self.work.loops]
