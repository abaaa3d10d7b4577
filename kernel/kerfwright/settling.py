"""Which dialect a job is written in, and on what terms: what the job says goes before what the machine says."""

from __future__ import annotations

from attrs import evolve

from kerfwright.errors import Contradiction, Fault, InputError
from kerfwright.job import Job
from kerfwright.registry import Registry
from kerfwright.text import dialect_named

__all__ = ["settled"]


def settled(job: Job, registry: Registry) -> Job:
    """The job with its dialect varied as it is to be written, and a machine that changes cutters and sets the speed so.

    Where the dialect cannot change cutters as the machine would, every cutter has a program of its own. Raises InputError
    where machine and dialect contradict each other.
    """
    named = job.dialect or job.machine.dialect
    if isinstance(named, str) and named not in registry.dialects:
        return job  # told where a text is to be written or read
    dialect = dialect_named(named, registry)
    machine, spindle = job.machine, job.machine.spindle
    change = dialect.cutter_change or machine.cutter_change
    change = change if change in dialect.changes else "separate_programs"
    by_hand = spindle.by_hand if dialect.by_hand is None else dialect.by_hand
    faults: list[Fault] = []
    try:
        dialect = evolve(dialect, cutter_change=change) if change != dialect.change else dialect
    except Contradiction as e:
        faults += [
            job.origin.fault("output", f"with the machine's cutter_change {change}: {text}") for _, text in e.told
        ]
    if dialect.traits.comments == "none":
        silent = "found none, allowed: parentheses, as a stop must say"
        if by_hand:
            faults.append(job.origin.fault("output.block.comments", f"{silent} the speed that is set by hand"))
        if not machine.home:
            text = f"{silent} what to see to on a machine without reference switches"
            faults.append(job.origin.fault("output.block.comments", text))
    if faults:
        raise InputError(faults)
    machine = evolve(machine, cutter_change=change, spindle=evolve(spindle, by_hand=by_hand))
    return evolve(job, dialect=dialect, machine=machine)
