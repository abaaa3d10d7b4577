"""Many jobs, on any executor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from concurrent.futures import Executor

from kerfwright.job import Job
from kerfwright.making import make
from kerfwright.registry import Registry
from kerfwright.result import Result

__all__ = ["make_many"]


def make_many(
    jobs: Iterable[Job], executor: Executor | None = None, registry: Registry | None = None
) -> Iterator[Result]:
    """Results in the order of the jobs; one after the other without an executor. Raises what `make` raises, at its turn.

    An executor's workers load what is installed there; `registry` is for jobs that are made here, as plugins that were loaded
    by file cannot be sent.
    """
    if executor is None:
        return (make(job, registry) for job in jobs)
    return executor.map(make, jobs)
