"""The sizes of each part of a job, numbered, with limits, with the cutter that makes them and how they lie on the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.drawing import Drawing
from kerfwright.inspecting.made import Made, made
from kerfwright.inspecting.size import Size
from kerfwright.inspecting.sizes import to_measure
from kerfwright.job import Job, Part
from kerfwright.setup import Piece, Setup
from kerfwright.standards import CLEARANCE, SERIES

__all__ = ["CALIPER", "Inspection", "Row", "inspections"]

CALIPER = 0.03
"""Expanded uncertainty (k = 2, mm) of a hundredth caliper: its error limit of 0.02 mm, and the hand (common practice, from memory)."""


@frozen
class Row:
    """One size. `lower` and `upper` are its limits, `along` its direction on the sheet (degrees), `note` what else is known."""

    number: int
    size: Size
    lower: float
    upper: float
    along: float
    cutter: Cutter | None
    note: str = ""

    @property
    def name(self) -> str:
        """What it is called on page and form."""
        return f"{self.number} {self.size.noun} {self.size.nominal:.4g}"

    def zone(self, expanded: float) -> tuple[float, float] | None:
        """From where to where a measured size conforms (ISO 14253-1: limits less the expanded uncertainty); None: nowhere."""
        low, high = self.lower + expanded, self.upper - expanded
        return (low, high) if low < high - 1e-9 else None


@frozen(eq=False)
class Inspection:
    """Of the first copy of a part: which it is, how it was turned (degrees), and its rows."""

    part: str
    drawing: Drawing
    copy: int
    sheet: int
    turn: float
    rows: tuple[Row, ...]


def inspections(job: Job, setups: Sequence[Setup]) -> Iterator[Inspection]:
    """One for each part with a size to measure, of walls that are finished: see `made`."""
    for part in job.parts:
        found = next(((s, p) for s in setups for p in s.pieces if p.part == part.name), None)
        if found is None:
            continue
        walls = made(*found)
        sizes = to_measure(part.drawing, {k: one.waste for k, one in walls.items()})
        if sizes:
            yield _inspection(job, part, found, [(s, [walls[k] for k in s.loops]) for s in sizes])


def _inspection(
    job: Job, part: Part, found: tuple[Setup, Piece], sizes: Sequence[tuple[Size, list[Made]]]
) -> Inspection:
    setup, piece = found
    rows = []
    for number, (size, walls) in enumerate(sizes, 1):
        fit = next((f for f in part.fits if size.noun == "hole" and f.of(size.nominal)), None)
        limit = job.allowed(size.nominal)
        low, high = (size.nominal - limit, size.nominal + limit) if fit is None else fit.limits
        cutter = None if size.kind == "centers" else walls[0].cutter
        notes = [
            *([f"{fit.grade}, ISO 286"] if fit else []),
            *_screws(size),
            *[f"{one.depth:g} mm deep" for one in walls[:1] if one.depth and cutter],
        ]
        along = (size.along + piece.turn) % 180
        rows.append(Row(number, size, low, high, along, cutter, ", ".join(notes)))
    return Inspection(piece.part, part.drawing, piece.copy, setup.number, piece.turn, tuple(rows))


def _screws(size: Size) -> Iterator[str]:
    """Which screw a clearance hole is for."""
    for thread, holes in CLEARANCE.items():
        for series, wide in zip(SERIES, holes, strict=True):
            if size.noun == "hole" and abs(size.nominal - wide) < 0.002:
                yield f"{thread} {series}, ISO 273"
