"""One sheet as it lies on the machine, in program coordinates: what both planning and proof start from."""

from __future__ import annotations

import shapely
from attrs import define, frozen

from kerfwright.drawing import Loop
from kerfwright.job import Job
from kerfwright.operation import Operation
from kerfwright.rates import Rates

__all__ = ["Heights", "Piece", "Setup", "Work"]


@frozen
class Heights:
    """Heights in program Z (mm): the sheet's top and underside as they count, planes, and the floor of a through cut.

    With zero at sheet_top: top 0, underside -least (where bridges count from), floor -(most + breakthrough).
    With board_top: top nominal, underside 0, floor -breakthrough. Planes and keepouts stand on the sheet at `most`.
    """

    top: float
    highest: float
    """Top of the thickest place: what a rapid must clear."""
    underside: float
    floor: float
    travel: float
    approach: float

    def at(self, depth: float) -> float:
        """Z of a depth below the sheet's top."""
        return self.top - depth

    def bridge_top(self, thickness: float) -> float:
        """Z of the top of a bridge."""
        return self.underside + thickness


@define(frozen=True, eq=False)
class Piece:
    """One copy of a part on the sheet: its loops (program XY), turned and moved. `index` counts over the whole sheet."""

    part: str
    copy: int
    index: int
    turn: float
    loops: tuple[Loop, ...]


@define(frozen=True, eq=False)
class Work:
    """One operation with the loops it works on: rows (piece index, loop index), and its rates.

    `index` counts operations in the job from 0; `path` is its key in the job file.
    """

    index: int
    path: str
    operation: Operation
    loops: tuple[tuple[int, int], ...]
    rates: Rates


@define(frozen=True, eq=False)
class Setup:
    """A sheet with its pieces, in program coordinates. `number` counts sheets from 1."""

    job: Job
    number: int
    stock: shapely.Polygon
    heights: Heights
    pieces: tuple[Piece, ...]
    works: tuple[Work, ...]
    keepouts: tuple[tuple[shapely.Polygon, float], ...]
    """Plan area, and Z of its top."""
    warnings: tuple[str, ...] = ()
