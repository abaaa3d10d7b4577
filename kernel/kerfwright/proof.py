"""The proof of one sheet: every installed check, on what was read back from the programs' text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from attrs import evolve, frozen

from kerfwright.cutter import Cutter
from kerfwright.errors import CannotRead
from kerfwright.evidence import Evidence, Reading, cutter_of
from kerfwright.finding import SEVERITIES, Finding, Measured
from kerfwright.job import Job
from kerfwright.moves import Moves
from kerfwright.registry import Registry
from kerfwright.result import PartResult
from kerfwright.setup import Heights, Setup
from kerfwright.text import dialect_named, reader_of

if TYPE_CHECKING:
    from kerfwright.dialect import Dialect

__all__ = ["REQUIRED", "Proof", "Reading", "prove", "reading_of"]

REQUIRED = (
    "reading", "modes", "start", "end", "cutter", "spindle", "feed", "gouge", "leftover", "not_through", "too_deep",
    "stray",
    "bridge", "rapid", "rapid_descent", "keepout", "machine_travel", "loose", "freed_cut", "from_depth", "walk_round",
    "moved", "allowance", "skin", "axial_depth", "chip", "dwell", "reach", "restated", "text", "taking", "programs",
)  # fmt: skip
"""Without these nothing is proved: one that is not installed is an error, so that a lost plugin cannot pass a program."""


@frozen
class Proof:
    """What was found, worst first, and how each piece came out. `parts` is empty where a text could not be followed."""

    findings: tuple[Finding, ...]
    parts: tuple[PartResult, ...] = ()

    @property
    def ok(self) -> bool:
        """No finding is an error."""
        return all(f.severity != "error" for f in self.findings)


def reading_of(
    file: str,
    kind: str | None,
    text: str,
    dialect: str | Dialect,
    job: Job,
    registry: Registry | None = None,
    cutter: Cutter | None = None,
) -> Reading:
    """Read a program back from its text. `cutter` counts where no T word names one, and where none is given and the job
    has a single cutter, that one does.

    `kind` None is told from the moves: what never goes below the sheet's top is a walk-round. A text that cannot be read
    is kept with its fault, as a program.
    """
    registry = registry or Registry.load()
    written = dialect_named(dialect, registry)
    traits, name = written.traits, written.name
    try:
        moves = reader_of(written, registry).read(text)
    except CannotRead as fault:
        return Reading(file, kind or "program", text, None, fault, cutter, name, traits)
    if kind is None:
        kind = "walk-round" if _in_the_air(moves, Heights.of(job.sheet, job.planes)) else "program"
    only = next(iter(job.cutters.values())) if len(job.cutters) == 1 else None
    return Reading(file, kind, text, moves, None, cutter_of(moves, job) or cutter or only, name, traits)


def _in_the_air(moves: Moves, heights: Heights) -> bool:
    z = moves.curve.nodes[:, 2]
    return bool((z[np.isfinite(z)] >= heights.highest).all())


def prove(setup: Setup, readings: Sequence[Reading], registry: Registry | None = None) -> Proof:
    """Prove all programs of one sheet together, in running order, the stock carried over from one to the next.

    Walk-rounds may stand anywhere among the readings. Nothing is swept before every text has one meaning.
    """
    registry = registry or Registry.load()
    evidence = Evidence(setup, tuple(readings), {kind: one() for kind, one in registry.takings.items()})
    checks = [one() for one in registry.checks.values()]
    lost = [
        Finding("proof", "error", f"the check {name} is not installed, so nothing is proved")
        for name in REQUIRED
        if name not in registry.checks
    ]
    found = [f for check in checks if check.first for f in check.find(evidence)]
    if any(f.severity == "error" for f in found) or any(r.moves is None for r in readings):
        return Proof(_sorted([*lost, *_remedied(found, registry)], readings))
    measured: list[Measured] = []
    for check in checks:
        if not check.first:
            found += check.find(evidence)
            measured += check.measure(evidence)
    return Proof(_sorted([*lost, *_remedied(found, registry)], readings), _parts(setup, measured))


def _remedied(found: Sequence[Finding], registry: Registry) -> list[Finding]:
    """Each finding with what to do: its own, or what its check says."""
    return [
        evolve(f, remedy=registry.checks[f.check].remedy) if not f.remedy and f.check in registry.checks else f
        for f in found
    ]


def _sorted(found: Sequence[Finding], readings: Sequence[Reading]) -> tuple[Finding, ...]:
    order = {r.file: i for i, r in enumerate(readings)}
    return tuple(
        sorted(
            found, key=lambda f: (SEVERITIES.index(f.severity), order.get(f.program, -1), f.line, f.check, f.message)
        )
    )


def _parts(setup: Setup, measured: Sequence[Measured]) -> tuple[PartResult, ...]:
    gouge, leftover = [0.0] * len(setup.pieces), [0.0] * len(setup.pieces)
    held = [""] * len(setup.pieces)
    for m in measured:
        gouge[m.piece] = max(gouge[m.piece], m.gouge or 0.0)
        leftover[m.piece] = max(leftover[m.piece], m.leftover or 0.0)
        held[m.piece] = m.held_by or held[m.piece]
    return tuple(
        PartResult(p.part, setup.number, p.copy, round(gouge[i], 4), round(leftover[i], 4), held[i])
        for i, p in enumerate(setup.pieces)
    )
