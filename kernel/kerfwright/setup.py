"""One sheet as it lies on the machine, in program coordinates: what both planning and proof start from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import shapely
from attrs import Factory, define, frozen

from kerfwright.curve import Curve
from kerfwright.drawing import Line, Loop
from kerfwright.job import Job, Planes
from kerfwright.operation import Operation
from kerfwright.rates import Rates
from kerfwright.sheet import Sheet

if TYPE_CHECKING:
    from kerfwright.strategy import Bridges, Strategy

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

    @classmethod
    def of(cls, sheet: Sheet, planes: Planes) -> Heights:
        """Where a sheet's faces and the planes lie, seen from the face that the cutter is touched off on."""
        t = sheet.thickness
        on_board = sheet.zero.z == "board_top"
        highest, underside = (t.most, 0.0) if on_board else (0.0, -t.least)
        return cls(
            top=t.nominal if on_board else 0.0,
            highest=highest,
            underside=underside,
            floor=(0.0 if on_board else -t.most) - sheet.breakthrough,
            travel=highest + planes.travel,
            approach=highest + planes.approach,
        )

    def at(self, depth: float) -> float:
        """Z of a depth below the sheet's top."""
        return self.top - depth

    def floor_of(self, operation: Operation) -> float:
        """Z of the floor of an operation, at full diameter: with an allowance at the bottom it never goes through."""
        if operation.depth is not None:
            return self.at(operation.depth) + operation.allowance.bottom
        return self.underside + operation.allowance.bottom if operation.allowance.bottom else self.floor

    def bridge_top(self, thickness: float) -> float:
        """Z of the top of a bridge."""
        return self.underside + thickness


@define(frozen=True, eq=False)
class Piece:
    """One copy of a part on the sheet: its loops (program XY), turned and moved, in the order of its drawing.

    `copy` counts the copies of a part from 1, `index` the pieces of the sheet from 0.
    """

    part: str
    copy: int
    index: int
    turn: float
    loops: tuple[Loop, ...]
    shift: tuple[float, float] = (0.0, 0.0)
    """By how much the turned drawing is moved."""

    def placed(self, curve: Curve) -> Curve:
        """A curve of the drawing where this copy has it."""
        return curve.rotated(self.turn).moved(*self.shift)


@define(frozen=True, eq=False)
class Work:
    """One operation with the loops it works on: rows (piece index, loop index), and its rates.

    `index` counts operations in the job from 0; `path` is its key in the job file. Every strategy of `operation` is
    filled in, but for `bridges`: which bridges hold at a loop is said by `bridges`, (piece index, loop index) -> what was
    declared on that outline by this operation or by any other that cuts it. A loop that is not there has none.
    `instead`: by kind, strategies tried in order where that of `operation` finds no room; none where the job said which.
    `last`: the second half of an operation with a skin, from there to the floor, after all that has none. Both halves have
    the index and path of the one operation; the first leaves the skin as an allowance at the bottom.
    """

    index: int
    path: str
    operation: Operation
    loops: tuple[tuple[int, int], ...]
    rates: Rates
    bridges: Mapping[tuple[int, int], Bridges] = Factory(dict)
    lines: tuple[tuple[int, Line], ...] = ()
    """Open lines that it follows, as drawn: rows (piece index, line)."""
    instead: Mapping[str, tuple[Strategy, ...]] = Factory(dict)
    last: bool = False

    def waste(self, loop: Loop) -> str:
        """The side of a loop on which material goes: outside, inside or line."""
        side: str | None = getattr(self.operation, "waste", None)
        return side or ("inside" if loop.depth % 2 else "outside")


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
