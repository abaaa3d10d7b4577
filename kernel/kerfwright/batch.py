"""Many jobs, on any executor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from concurrent.futures import Executor

from kerfwright.job import Job
from kerfwright.making import make
from kerfwright.result import Result

__all__ = ["make_many"]


def make_many(jobs: Iterable[Job], executor: Executor | None = None) -> Iterator[Result]:
    """Results in the order of the jobs; one after the other without an executor. Raises what `make` raises, at its turn."""
    return map(make, jobs) if executor is None else executor.map(make, jobs)
