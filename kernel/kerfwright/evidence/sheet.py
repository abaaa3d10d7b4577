"""Evidence of one sheet: its programs in running order, stock carried over from one to the next."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any, TypeVar

import shapely
from attrs import Factory, define, field

from kerfwright.evidence.course import Course
from kerfwright.evidence.cutting import Cutting
from kerfwright.evidence.reading import Reading
from kerfwright.setup import Setup
from kerfwright.taking import Taking

__all__ = ["Evidence"]

T = TypeVar("T")


@define(frozen=True, eq=False, slots=False)
class Evidence:
    """What checks see: the sheet, the readings of its programs, and what operations beyond the core take from a sheet, by
    kind. Everything else is worked out when first asked.

    Lengths in mm, program zero. Chords keep within 0.0005 mm of the moves, so a distance here is true to 0.001 mm.
    """

    setup: Setup
    readings: tuple[Reading, ...]
    takings: Mapping[str, Taking] = Factory(dict)
    _levels: dict[float, Cutting] = field(default=Factory(dict), init=False, repr=False)
    _shared: dict[Callable[[Evidence], Any], Any] = field(default=Factory(dict), init=False, repr=False)

    @property
    def programs(self) -> tuple[Reading, ...]:
        """The readings that cut, in running order; walk-rounds are not among them."""
        return tuple(r for r in self.readings if r.kind == "program")

    @cached_property
    def course(self) -> Course:
        """Moves of all programs that cut."""
        return Course.of(self.programs, tuple(self.setup.job.cutters.values()))

    @cached_property
    def lowest(self) -> float:
        """Z of the sheet's underside where it is thickest: a through cut must go below it."""
        return self.setup.heights.floor + self.setup.job.sheet.breakthrough

    def at(self, level: float) -> Cutting:
        """What the programs take at a height, each way once."""
        if level not in self._levels:
            self._levels[level] = Cutting.at(self.course, level).distinct
        return self._levels[level]

    def gone(self, level: float, near: shapely.Geometry, before: int) -> shapely.Geometry:
        """What is gone at a height, near a place, when a move begins: the stock at that step, asked where it matters."""
        return self.at(level).before(before).near(near).swept()

    def shared(self, make: Callable[[Evidence], T]) -> T:
        """Something that several checks need, worked out once."""
        if make not in self._shared:
            self._shared[make] = make(self)
        found: T = self._shared[make]
        return found
