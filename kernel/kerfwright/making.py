"""The whole way in one call: place, plan, write, read back, prove. Touches no file."""

from __future__ import annotations

from collections.abc import Iterable

import attrs

from kerfwright import __version__, loads
from kerfwright.budget import budgets, over_budget
from kerfwright.cautions import cautions
from kerfwright.cutter import Cutter
from kerfwright.drawing import Remark
from kerfwright.errors import CannotSay
from kerfwright.finding import Finding
from kerfwright.inspecting.fits import fits_told
from kerfwright.inspecting.general import general_told
from kerfwright.job import Job
from kerfwright.ledger.grooves import support
from kerfwright.ledger.lives import outlived, uses
from kerfwright.ledger.values import Ledger
from kerfwright.motion import tally
from kerfwright.outlines.chains import place as where
from kerfwright.placing import place
from kerfwright.planning import plan_setup, walk_round
from kerfwright.pricing.quoting import quoted
from kerfwright.program import Program
from kerfwright.proof import Proof, Reading, prove, reading_of
from kerfwright.registry import Registry
from kerfwright.result import PartResult, ProgramText, Result
from kerfwright.setup import Setup
from kerfwright.text import dialect_named
from kerfwright.timing import operation_times

__all__ = ["make", "result_of"]


def make(job: Job, registry: Registry | None = None, ledger: Ledger | None = None) -> Result:
    """Programs, proved, with what was found, and what they cost where the job asks. `result.ok` says whether they may leave.

    `ledger` says what was cut before; it decides nothing here but what is told of cutters' lives and of the board.
    Raises InputError where the job cannot be made at all, with every fault found.
    """
    registry = registry or Registry.load()
    dialect_named(job.dialect or job.machine.dialect, registry)
    setups = place(job, registry)
    dialect = dialect_named(setups[0].job.dialect or "", registry)
    readings: list[tuple[Setup, Reading]] = []
    planned: list[Program | None] = []
    unsaid: list[Finding] = []
    for setup in setups:
        programs = plan_setup(setup, registry)
        for program in (*programs, walk_round(setup, programs)):
            file = f"{program.name}{dialect.suffix}"
            try:
                text = dialect.write(program)
            except CannotSay as e:
                unsaid.append(
                    Finding("dialect", "error", f"{dialect.name} has no words for this program: {e}", program=file)
                )
                continue
            readings.append((setup, reading_of(file, program.kind, text, dialect, setup.job, registry)))
            planned.append(program)
    result = result_of(job, setups, readings, registry, planned, unsaid, ledger)
    return attrs.evolve(result, cost=quoted(result))


def result_of(
    job: Job,
    setups: tuple[Setup, ...],
    readings: list[tuple[Setup, Reading]],
    registry: Registry,
    planned: Iterable[Program | None] = (),
    findings: Iterable[Finding] = (),
    ledger: Ledger | None = None,
) -> Result:
    """Prove readings sheet by sheet, and put together what is known of them."""
    proofs: list[Proof] = [prove(s, tuple(r for on, r in readings if on is s), registry) for s in setups]
    plans = [*planned, *[None] * len(readings)]
    programs = tuple(_program(s, r, p) for (s, r), p in zip(readings, plans, strict=False))
    warnings = dict.fromkeys([*job.warnings, *[w for s in setups for w in s.warnings]])
    told = [Finding("job", "warning", w) for w in warnings]
    told += [Finding("tolerance", "note", text) for text in general_told(job)]
    told += [Finding("drawing", "note", f"part {p.name!r}: {_remark(r)}") for p in job.parts for r in p.drawing.remarks]
    told += [
        Finding("plan", "note", text, program=r.file)
        for (_, r), p in zip(readings, plans, strict=False)
        if p
        for text in p.told
    ]
    told += loads.told(setups)
    cutters = uses(setups, programs, ledger)
    told += [*outlived(cutters, setups, programs, ledger), *support(setups, ledger)]
    allowed = budgets(job, dialect_named(setups[0].job.dialect or "", registry).traits, setups)
    told += [Finding("tolerance", "warning", text) for text in fits_told(job, allowed)]
    parts: list[PartResult] = [p for proof in proofs for p in proof.parts]
    return Result(
        job=job,
        version=__version__,
        setups=setups,
        programs=programs,
        findings=(*findings, *over_budget(allowed), *[f for proof in proofs for f in proof.findings], *told),
        parts=tuple(parts),
        cutters=cutters,
        cautions=cautions(job),
        checks=tuple(sorted(registry.checks)) if parts else (),
        budgets=allowed,
    )


def _remark(remark: Remark) -> str:
    """Its place is in the drawing's own coordinates, so it stands in the message."""
    if remark.at is None:
        return remark.message
    return f"{remark.message} (at {where(remark.at)} of the drawing)"


def _program(setup: Setup, reading: Reading, plan: Program | None) -> ProgramText:
    moves = reading.moves
    t = None if moves is None else tally(moves, setup.job.machine, setup.heights.highest)
    return ProgramText(
        file=reading.file,
        kind=reading.kind,
        sheet=setup.number,
        dialect=reading.dialect,
        cutter=reading.cutter,
        text=reading.text,
        moves=moves,
        times=t.times if t else None,
        cut_length_mm=t.cut_length_mm if t else 0.0,
        travel_length_mm=t.travel_length_mm if t else 0.0,
        extent=t.extent if t else ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0)),
        program=plan,
        cutters=_cutters(reading, setup.job),
        operations=operation_times(plan, moves, t.times) if plan and moves and t else (),
    )


def _cutters(reading: Reading, job: Job) -> tuple[Cutter, ...]:
    numbers = [] if reading.moves is None else reading.moves.cutter.tolist()
    by_number = {c.number: c for c in job.cutters.values()} | ({0: reading.cutter} if reading.cutter else {})
    return tuple(dict.fromkeys(by_number[n] for n in dict.fromkeys(numbers) if n in by_number))
