"""Many jobs on any executor give what `make` gives, in the order of the jobs."""

from __future__ import annotations

from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

import pytest

import kerfwright as kw

JOB = """\
job: NAME
machine: light-router
sheet: {material: acrylic, size: [60, 60], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters: {mill: {form: end_mill, flutes: up, diameter: 3, teeth: 2, flute_length: 8}}
parts: [{name: tag, at: [15, 15], shapes: [{rectangle: {corner: [0, 0], size: [WIDE, 20]}}]}]
operations: [{profile: {cutter: mill, select: outer}}]
"""
WIDE = {"ant": 20, "bee": 24, "cat": 28}


def executor(kind: str) -> Executor | None:
    """Processes are begun anew, as a copy of one with threads can hang."""
    if kind == "processes":
        return ProcessPoolExecutor(2, get_context("spawn"))
    return ThreadPoolExecutor(2) if kind == "threads" else None


@pytest.mark.parametrize("kind", ["none", "threads", "processes"])
def test_results_come_in_the_order_of_the_jobs(kind: str) -> None:
    registry = kw.Registry.load()
    jobs = [
        kw.load_job("-", registry, text=JOB.replace("NAME", name).replace("WIDE", str(wide)))
        for name, wide in WIDE.items()
    ]
    alone = [kw.make(job, registry) for job in jobs]
    pool = executor(kind)
    try:
        found = list(kw.make_many(jobs, pool))
    finally:
        if pool is not None:
            pool.shutdown()
    assert [r.job.name for r in found] == list(WIDE)
    assert [[p.text for p in r.programs] for r in found] == [[p.text for p in r.programs] for r in alone]
    assert all(r.ok for r in found)
