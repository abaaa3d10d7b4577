"""A job as values: what is cut from what, on which machine, in which order. All lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from attrs import Factory, field, frozen

from kerfwright import fields
from kerfwright.cutter import Cutter
from kerfwright.drawing import Drawing
from kerfwright.errors import Fault
from kerfwright.fit import Fit
from kerfwright.machine import Machine
from kerfwright.operation import PACES, Operation
from kerfwright.pricing.quote import Quote
from kerfwright.selection import Selection
from kerfwright.sheet import Sheet
from kerfwright.standards import general

if TYPE_CHECKING:
    from kerfwright.dialect import Dialect
    from kerfwright.strategy import Layout

__all__ = ["Job", "Origin", "Part", "Planes"]


@frozen
class Origin:
    """Where a job's keys stand in its file, so that later faults can name the line. Marks: path -> (line, column) from 1.

    `files` are those that the job names, by path inside its folder, with the SHA-256 of what was read.
    """

    file: str = ""
    marks: Mapping[str, tuple[int, int]] = Factory(dict)
    files: Mapping[str, str] = Factory(dict)

    def fault(self, path: str, message: str) -> Fault:
        """A fault at a path, or at the nearest key above it that the file has."""
        near = path
        while near and near not in self.marks:
            near = near.rpartition(".")[0] if near.rfind(".") > near.rfind("[") else near.rpartition("[")[0]
        line, column = self.marks.get(near, (0, 0))
        return Fault(path, message, self.file, line, column)


@frozen
class Planes:
    """Heights above the sheet's top (mm): moves across in the air, and where rapid ends and feed begins."""

    travel: float = fields.number("height of moves across the sheet", unit="mm", above=0, most=200, default=8.0)
    approach: float = fields.number(
        "height where rapid ends and feed begins", unit="mm", above=0, most=100, default=2.0
    )

    def __attrs_post_init__(self) -> None:
        if self.approach > self.travel:
            raise ValueError(
                f"found approach {self.approach:g} above travel {self.travel:g} mm, allowed: at most travel"
            )


@frozen(eq=False)
class Part:
    """A drawing to be made, and where its copies lie on the sheet."""

    name: str = fields.text("name of the part")
    drawing: Drawing = fields.custom("a drawing's file, or `shapes`", "drawing")
    at: tuple[tuple[float, float], ...] = fields.custom(
        "lower left corner of its extent on the sheet; more places: a list", "places", default=((0.0, 0.0),)
    )
    turn: float = fields.number("turned by, counter-clockwise", unit="deg", default=0.0)
    layout: Layout | None = fields.strategy("layout", "how copies are laid out")
    fits: tuple[Fit, ...] = fields.listed("limits of holes by ISO 286", Fit)


@frozen(eq=False)
class Job:
    """Everything that decides the programs.

    `tolerance` is what the parts must keep (mm): each wall, plus and minus, and each size too, unless `tolerance_class`, a class of
    ISO 2768-1, gives every size limits of its own; then `tolerance` is what walls must keep so that every size does. `dialect` is the dialect's name, or one that was varied; None the machine's.
    `ignore` lifts outlines from the rule that every one is worked on.
    """

    name: str = fields.text("names the outputs", key="job")
    machine: Machine = fields.custom("a name from `list machines`, or a mapping", "machine")
    sheet: Sheet = fields.nested("the material on the machine", Sheet)
    planes: Planes = fields.nested("heights of travel and approach", Planes, default=Planes())
    cutters: Mapping[str, Cutter] = fields.custom("the cutters, by name", "cutters")
    parts: tuple[Part, ...] = fields.listed("the parts", Part)
    operations: tuple[Operation, ...] = fields.custom("what is done, in this order", "operations")
    ignore: Selection | None = fields.custom(
        "outlines that no operation needs to work on", "select", optional=True, otherwise="none"
    )
    dialect: str | Dialect | None = fields.custom(
        "how the program is written", "output", optional=True, key="output", otherwise="the machine's dialect"
    )
    pace: str = fields.choice("how bold the rates are", PACES, default="first")
    tolerance: float = fields.custom("mm, or a class of ISO 2768-1", "tolerance:mm", default=0.1)
    quote: Quote | None = fields.custom("a mapping of prices and quantity, or a shop file", "quote", optional=True)
    origin: Origin = field(default=Origin(), kw_only=True, eq=False)
    units: str = fields.choice("units of plain numbers in the job file", ("mm", "inch"), default="mm")
    warnings: tuple[str, ...] = field(default=(), kw_only=True)
    """What the loader wants told: nothing is silently assumed."""
    tolerance_class: str | None = field(default=None, kw_only=True)

    def allowed(self, size: float) -> float:
        """By how much a size (mm) may be off, plus and minus (mm). Of a size that its class has no limits for, as for a wall."""
        try:
            return self.tolerance if self.tolerance_class is None else general(round(size, 4), self.tolerance_class)
        except ValueError:
            return self.tolerance
