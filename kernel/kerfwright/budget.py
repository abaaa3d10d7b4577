"""How far a wall may lie from the drawing, entry by entry, against the tolerance that was asked for.

Every number is a constant of the code that causes it, named where it acts. Entries add up as they stand: each is a most,
and nothing says that they do not all point one way.
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from kerfwright.finding import Finding
from kerfwright.job import Job
from kerfwright.loads import walls
from kerfwright.offset import CORNERS, UNEVEN
from kerfwright.outlines.bends import FLATNESS
from kerfwright.recovery import RECOVERED
from kerfwright.setup import Setup
from kerfwright.traits import Traits
from kerfwright.units import INCH
from kerfwright.writing.quadrants import QUADRANT_OFF
from kerfwright.writing.wordaddress import ARC_OFF, CHORD

__all__ = ["MICROMETER", "Budget", "Entry", "budgets", "over_budget"]

MICROMETER = 0.01
"""How well a cutter's diameter is measured (mm): a division of a micrometer (from memory)."""


@frozen
class Entry:
    """One cause: the most it moves a wall (mm), None where that is not known, and where the number comes from."""

    cause: str
    most: float | None
    source: str


@frozen
class Budget:
    """Of one part: its entries, and the tolerance asked of a wall (mm)."""

    part: str
    tolerance: float
    entries: tuple[Entry, ...]

    @property
    def total(self) -> float:
        """What is known, added up (mm)."""
        return sum(e.most for e in self.entries if e.most is not None)

    @property
    def unknown(self) -> tuple[str, ...]:
        """Causes that no number stands for."""
        return tuple(e.cause for e in self.entries if e.most is None)


def budgets(job: Job, traits: Traits, setups: Sequence[Setup] = ()) -> tuple[Budget, ...]:
    """One for each part of a job whose programs a dialect with these traits says; `setups` tell how far cuts bend."""
    entries = (*_shape(), *_text(traits), _cutters(job), _bending(setups))
    return tuple(Budget(p.name, job.tolerance, entries) for p in job.parts)


def over_budget(some: tuple[Budget, ...]) -> list[Finding]:
    """Parts whose tolerance is less than what is known to add up."""
    return [
        Finding(
            "budget",
            "error",
            f"part {b.part!r}: a wall may lie {b.total:.4f} mm from the drawing, asked for is {b.tolerance:g} mm; the largest "
            f"cause is {max((e for e in b.entries if e.most is not None), key=lambda e: e.most or 0.0).cause}",
        )
        for b in some
        if b.total > b.tolerance
    ]


def _shape() -> tuple[Entry, ...]:
    return (
        Entry("flattening", FLATNESS, "chords of splines and ellipses in the drawing; lines and arcs have none"),
        Entry("corners", UNEVEN * CORNERS, "chords of the round corners that an offset adds"),
        Entry("arc recovery", RECOVERED, "arcs found again in those chords"),
    )


def _text(traits: Traits) -> tuple[Entry, ...]:
    digit = (INCH if traits.units == "inch" else 1.0) / 10**traits.decimals
    half = digit * 0.5 * 2**0.5
    off = QUADRANT_OFF if traits.quadrants == "single" else ARC_OFF
    rounding, arcs = (
        f"half of the last digit, {digit:g} mm, in X and in Y",
        f"{off:g} times the last digit, {digit:g} mm",
    )
    return (
        Entry("rounding", half, rounding)
        if not traits.arcs
        else Entry("rounding", max(half, off * digit), f"middle of an arc: {arcs}"),
        Entry(
            "chords", CHORD, "arcs said as chords" if not traits.arcs else "the few arcs that cannot be said as arcs"
        ),
    )


def _cutters(job: Job) -> Entry:
    marked = [c.name for c in job.cutters.values() if c.measured is None]
    if not marked:
        return Entry("cutter", MICROMETER / 2, "half of what a measured diameter may be off")
    text = f"not measured: {', '.join(marked)}; half of what its diameter is off goes to every wall"
    return Entry("cutter", None, text)


def _bending(setups: Sequence[Setup]) -> Entry:
    found = walls(setups)
    if found is None:
        return Entry(
            "bending",
            None,
            "of cutter and machine: the material's cutting force or the machine's stiffness is not known",
        )
    work, load = found
    source = setups[0].job.sheet.material.sources.get("cutting_force", "the job file")
    text = (
        f"{work.path}: {load.side:.1f} N at the side (ae {load.radial:.3g} mm, ap {load.axial:g} mm; cutting force: {source}) bend the cutter "
        f"by {load.cutter:.4f} mm and the machine by {load.machine or 0.0:.4f} mm"
    )
    return Entry("bending", load.wall, text)
