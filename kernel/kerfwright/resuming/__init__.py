"""After a stop or a broken cutter: the remainder of a program, from its own text, proved with the stock that is there."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath

import attrs

from kerfwright.errors import CannotSay, Fault, InputError
from kerfwright.evidence import Evidence
from kerfwright.finding import Finding
from kerfwright.job import Job
from kerfwright.making import result_of
from kerfwright.placing import place
from kerfwright.planning import walk_round
from kerfwright.program import Program
from kerfwright.proof import Reading, reading_of
from kerfwright.registry import Registry
from kerfwright.result import Result, digest
from kerfwright.resuming.remainder import as_program, remainder_of
from kerfwright.resuming.restart import restart
from kerfwright.resuming.standing import standings
from kerfwright.resuming.stopped import done, part
from kerfwright.resumption import DOUBT, Resumption, remainder_name
from kerfwright.setup import Setup
from kerfwright.text import dialect_named

__all__ = ["Named", "resume"]

AFTER = ("moved", "dialect")
"""Checks that find nothing wrong with what was cut before the stop."""
Named = tuple[str, str]
"""A program's file name and its text."""


def resume(
    job: Job,
    text: str,
    *,
    at: int,
    file: str = "program",
    before: Sequence[Named] = (),
    after: Sequence[Named] = (),
    sheet: int = 1,
    cutter: str | None = None,
    dialect: str | None = None,
    registry: Registry | None = None,
) -> Result:
    """The remainder of a program that stopped at line `at` of its text, and a walk-round, proved. Touches no file.

    `before` and `after` are the programs of the same `sheet` that ran before it and that follow it, (file name, text), in
    running order. The remainder begins above the last place from which the text itself came down before `at`, and before
    the last `DOUBT` mm of cut: the entry of the text is repeated whole. It is proved like any program, with what was cut
    before it carried over; `result.resumed` says how each piece stood. Where nothing could be proved, `result.ok` is
    false and `result.programs` holds no remainder or one that must not leave.

    Raises InputError where the line is not in the text, lies in a change of cutter, or nothing is left to do.
    """
    registry = registry or Registry.load()
    job = attrs.evolve(job, dialect=dialect or job.dialect)
    setup = _sheet(job, sheet, registry)
    job = setup.job
    if cutter is not None and cutter not in job.cutters:
        raise InputError([Fault("--cutter", f"found {cutter!r}, the job has {', '.join(job.cutters)}")])
    named = dialect_named(job.dialect or job.machine.dialect, registry)
    fitted = None if cutter is None else job.cutters[cutter]

    def read(name: str, said: str) -> Reading:
        return reading_of(name, None, said, named, job, registry, fitted)

    earlier = [r for r in (read(*one) for one in before) if r.kind == "program"]
    later = [r for r in (read(*one) for one in after) if r.kind == "program"]
    stopped = read(file, text)
    if stopped.kind == "walk-round":
        raise InputError([Fault(file, "it cuts nothing, so nothing remains of it: run it again")])
    resumed = Resumption(PurePath(file).name, digest(text), at, 0, DOUBT)
    if any(r.moves is None for r in (*earlier, stopped, *later)):
        unread = result_of(job, (setup,), [(setup, r) for r in (*earlier, stopped, *later)], registry)
        return attrs.evolve(unread, programs=(), resumed=resumed)
    assert stopped.moves is not None
    begin = restart(stopped.moves, at, setup.heights)
    name = remainder_name(file, at)
    suffix = named.suffix
    run_down = job.machine.spindle.run_down_s
    there = [*earlier, *([done(stopped, begin.first, run_down)] if begin.first else [])]
    written: list[tuple[Reading, Program]] = []
    unsaid: list[Finding] = []
    try:
        remainder = remainder_of(setup, stopped, begin, name, at)
        cut = [p for r in (*there, *later) if (p := as_program(setup, r)) is not None]
        shown = attrs.evolve(walk_round(setup, [remainder, *cut]), name=f"{name}-walk-round")
        for program in (shown, remainder):
            said = named.write(program)
            written.append((reading_of(program.name + suffix, program.kind, said, named, job, registry), program))
    except CannotSay as e:
        unsaid.append(
            Finding("dialect", "error", f"{named.name} has no words for this remainder: {e}", program=name + suffix)
        )
    fresh = [r for r, _ in written]
    readings = [*there, *fresh, *later]
    if len(fresh) == 2 and "moved" in registry.checks:
        perhaps = attrs.evolve(done(stopped, begin.end, run_down), stopped=True)
        unsaid += registry.checks["moved"]().find(Evidence(setup, (*earlier, perhaps, fresh[1], *later)))
    plans = {r.file: p for r, p in written}
    result = result_of(
        job, (setup,), [(setup, r) for r in readings], registry, [plans.get(r.file) for r in readings], unsaid
    )
    proved = bool(result.parts) and all(f.check in AFTER for f in result.findings if f.severity == "error")
    pieces = standings(
        Evidence(setup, (*earlier, done(stopped, begin.sure, run_down))),
        Evidence(setup, (part(stopped, begin.sure, begin.end),)),
        Evidence(setup, (part(stopped, begin.sure, len(stopped.moves.curve)), *later)),
        proved,
    )
    resumed = attrs.evolve(resumed, begins=int(stopped.moves.lines[begin.first]), pieces=pieces)
    mine = tuple(p for p in result.programs if p.file in plans)
    return attrs.evolve(result, programs=mine, resumed=resumed)


def _sheet(job: Job, number: int, registry: Registry) -> Setup:
    setups = place(job, registry)
    for setup in setups:
        if setup.number == number:
            return setup
    raise InputError([Fault("sheet", f"found {number}, the job has {len(setups)}")])
