"""From a job to programs as steps, before any dialect.

Stages, one file each: nesting - walls - rooms - slots and bridges (profiling, pocketing) - rest regions - places of bridges (bridging,
held) - reliefs - starts - chains - route - levels and entry (diving) - lifts - steps (tracing, programs).
"""

from __future__ import annotations

from kerfwright.job import Job
from kerfwright.placing import place
from kerfwright.planning.programs import plan_setup
from kerfwright.planning.walkround import walk_round
from kerfwright.program import Program
from kerfwright.registry import Registry

__all__ = ["plan", "plan_setup", "walk_round"]


def plan(job: Job, registry: Registry | None = None) -> tuple[Program, ...]:
    """The programs of a job, sheet by sheet in running order; `registry` None is a fresh one of what is installed.

    Raises InputError with the faults that keep the job from being made.
    """
    registry = registry or Registry.load()
    return tuple(p for setup in place(job, registry) for p in plan_setup(setup, registry))
