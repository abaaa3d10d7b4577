"""No clean program is refused: fifty and more, from the examples and from one job with every strategy in turn, in all dialects.

A job that a dialect cannot carry is no clean program of it; the count is of programs that were written and proved.
"""

from __future__ import annotations

import copy
import json
from collections import Counter
from pathlib import Path
from typing import Any

import attrs
import pytest
from spoiling_jobs import JOBS

import kerfwright as kw
from kerfwright.errors import CannotSay, InputError
from kerfwright.registry import Registry

REGISTRY = Registry.load()
DIALECTS = sorted(name for name, one in REGISTRY.dialects.items() if one().traits.language in REGISTRY.readers)
FOLDER = Path(__file__).parents[2] / "examples"
EXAMPLES = sorted({*FOLDER.glob("*/*.yaml")} - {*FOLDER.glob("*/measured.yaml"), *FOLDER.glob("*/shop.yaml")})
POCKET, RIM = 0, 1
TURNS: list[tuple[int, str, Any]] = [
    (RIM, "entry", "toolaxis"), (RIM, "entry", {"ramp": {"angle": 8}}), (RIM, "entry", {"zigzag": {"angle": 5}}),
    (RIM, "passes", "single"), (RIM, "passes", "equal"),
    (RIM, "lead", "none"), (RIM, "lead", {"tangent": {"radius": 1.5}}), (RIM, "lead", {"angle": {"angle": 30}}),
    (RIM, "bridges", {"spacing": {"spacing": 20, "width": 1.0, "thickness": 0.5}}),
    (RIM, "bridges", {"count": {"count": 2, "width": 0.6, "thickness": 0.4}}),
    (RIM, "bridges", {"count": {"count": 5, "width": 1.0, "thickness": 0.5, "slope": 30}}),
    (RIM, "cutmode", "climb"), (RIM, "route", "listed"), (RIM, "route", "shortest"), (RIM, "axial_depth", 0.5),
    (POCKET, "entry", "toolaxis"), (POCKET, "entry", {"helix": {"angle": 3}}), (POCKET, "entry", {"ramp": {"angle": 6}}),
    (POCKET, "cover", "contour_parallel"), (POCKET, "cover", "bidirectional"), (POCKET, "cover", "contour_spiral"),
    (POCKET, "radial_depth", 0.2), (POCKET, "radial_depth", 0.7), (POCKET, "cutmode", "climb"), (POCKET, "depth", 1.1),
]  # fmt: skip
"""One key of one operation of the job `grid`, and what it is set to."""


def varied(operation: int, key: str, value: Any, dialect: str) -> kw.Job:
    """The job `grid` with two copies, and one thing changed."""
    job = copy.deepcopy(JOBS["grid"])
    job["parts"][0]["layout"] = {"grid": {"columns": 2, "rows": 1, "gap": 8}}
    next(iter(job["operations"][operation].values()))[key] = value
    return kw.load_job("-", REGISTRY, text=json.dumps(job | {"job": "varied", "output": {"dialect": dialect}}))


def refused(job: kw.Job, count: Counter[str]) -> list[str]:
    """Errors of what is clean; nothing where the dialect cannot carry the job."""
    try:
        result = kw.make(job, REGISTRY)
    except CannotSay:
        return []
    errors = [f"{f.check}: {f.message}" for f in result.findings if f.severity == "error"]
    if any(e.startswith("dialect: ") for e in errors):
        return []
    count["programs"] += sum(p.kind == "program" for p in result.programs)
    return errors


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda p: p.stem)
def test_examples(file: Path) -> None:
    """In another dialect than its own, in which the shell's tests make it."""
    count = Counter[str]()
    k, job = EXAMPLES.index(file), kw.load_job(str(file), REGISTRY)
    others = [d for d in DIALECTS if d != (job.dialect or job.machine.dialect)]
    assert refused(attrs.evolve(job, dialect=others[k % len(others)]), count) == []
    assert count["programs"] >= 1


def test_fifty_programs_pass() -> None:
    """Every row of the table in two dialects at least: fifty programs and more."""
    count, wrong = Counter[str](), {}
    for k, (operation, key, value) in enumerate(TURNS):
        for dialect in (DIALECTS[k % len(DIALECTS)], DIALECTS[(k + 1) % len(DIALECTS)]):
            try:
                job = varied(operation, key, value, dialect)
            except InputError as e:
                wrong[k, dialect] = [str(e)]
                continue
            try:
                told = refused(job, count)
            except InputError as e:
                told = [str(e)]
            if told:
                wrong[k, dialect] = [f"{key}: {value}", *told]
    assert wrong == {}
    assert count["programs"] >= 50
