"""The catalogue of spoiled programs: a fair sample here, all of it in `tests/bench/spoiling.py`.

Every row is tried once, on another job and dialect from row to row, so that all jobs and installed dialects have their turn;
a job and a dialect that do not meet here meet there.
"""

from __future__ import annotations

from collections import Counter

import pytest
from spoiling_catalogue import CATALOGUE, HARMLESS, LINES
from spoiling_jobs import JOBS, made
from spoiling_run import Case, cases, judged

from kerfwright.registry import Registry
from kerfwright.result import Result

REGISTRY = Registry.load()
DIALECTS = sorted(name for name, one in REGISTRY.dialects.items() if one().traits.language in REGISTRY.readers)


@pytest.fixture(scope="module")
def results() -> dict[tuple[str, str], Result]:
    """The clean programs: each job in every second dialect, each dialect with every second job, where it can carry it."""
    out = {
        (job, dialect): made(job, dialect, REGISTRY)
        for d, dialect in enumerate(DIALECTS)
        for j, job in enumerate(JOBS)
        if (d + j) % 2 == 0
    }
    return {key: result for key, result in out.items() if result is not None}


def test_the_clean_programs_pass(results: dict[tuple[str, str], Result]) -> None:
    """All five jobs, in two dialects at least."""
    wrong = {key: [f.message for f in r.findings if f.severity == "error"] for key, r in results.items() if not r.ok}
    assert wrong == {}
    assert {job for job, _ in results} == set(JOBS)
    assert len({dialect for _, dialect in results}) >= 2


def test_the_table_is_whole() -> None:
    """Sixty rows at least, each with its own name; harmless ones say why, and are a tenth at most."""
    assert len(CATALOGUE) >= 60
    assert len({row.name for row in CATALOGUE}) == len(CATALOGUE)
    assert all(bool(row.wanted) != bool(row.harmless) for row in CATALOGUE)
    assert {code for row in CATALOGUE for code in row.wanted} <= set(REGISTRY.checks)
    assert len(HARMLESS) <= len(CATALOGUE) / 10
    assert {row.name for row in CATALOGUE} >= LINES


def test_each_row_once(results: dict[tuple[str, str], Result]) -> None:
    """Each harmful edit is told by one of the codes that the table names, each harmless one passes; every row has its turn."""
    keys = sorted(results, key=lambda key: (DIALECTS.index(key[1]), list(JOBS).index(key[0])))
    wrong, tried, turns = [], Counter[str](), Counter[tuple[str, str]]()
    for n, row in enumerate(CATALOGUE):
        turn = keys[n % len(keys) :] + keys[: n % len(keys)]
        if row.name in LINES:  # few rows hold for a language without letters: it has them first
            turn.sort(key=lambda key: turns[key] > 0)
        for key in turn:
            case: Case | None = next(cases(results[key], *key, [row]), None)
            if case is not None:
                tried[row.name] += 1
                turns[key] += 1
                wrong += judged(case, results[key], REGISTRY)
                break
    assert wrong == []
    assert set(tried) == {row.name for row in CATALOGUE}
    assert len(turns) == len(keys)
