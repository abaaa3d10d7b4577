"""Spoils programs by the catalogue and says what the proof told of each."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from attrs import frozen
from spoiling_catalogue import CATALOGUE, LINES, Spoil
from spoiling_texts import Nothing, Text

from kerfwright.proof import Proof, prove, reading_of
from kerfwright.registry import Registry
from kerfwright.result import Result

__all__ = ["Case", "cases", "judged", "proved"]


@frozen
class Case:
    """A spoiled sheet: its texts as (file, kind, text), in order."""

    row: Spoil
    job: str
    dialect: str
    texts: tuple[tuple[str, str, str], ...]


def cases(result: Result, job: str, dialect: str, rows: list[Spoil] | None = None) -> Iterator[Case]:
    """Every row that has something to spoil in the programs of a job."""
    clean = tuple((p.file, p.kind, p.text) for p in result.programs)
    for row in CATALOGUE if rows is None else rows:
        try:
            if row.on == "order":
                spoiled: Any = tuple(row.edit(list(clean)))
            else:
                where = _where(result, row.on)
                spoiled = tuple(
                    (f, k, _edited(row, result, i) if i in where else t) for i, (f, k, t) in enumerate(clean)
                )
        except Nothing:
            continue
        if spoiled != clean:
            yield Case(row, job, dialect, spoiled)


def _edited(row: Spoil, result: Result, program: int) -> str:
    one = result.programs[program]
    assert one.moves is not None
    # numbers of blocks and noughts before a code are no meaning: a reader does without
    plain = re.sub(r"(?m)^N\d+ ", "", one.text)
    plain = plain if plain == one.text else re.sub(r"\b([GM])0(\d)\b", r"\1\2", plain)
    text = Text(plain, one.moves, result.setups[0])
    if not text.words and row.name not in LINES:
        raise Nothing("a row for letters and numbers")
    spoiled = str(row.edit(text))
    return spoiled if plain == one.text else _numbered(spoiled)


def _numbered(text: str) -> str:
    """With the numbers of its blocks anew: who edits a numbered program by hand has it numbered again."""
    count, out = 0, []
    for line in text.split("\n"):
        counts = bool(line) and line[0] not in "(%"
        count += 10 * counts
        out.append(f"N{count} {line}" if counts else line)
    return "\n".join(out)


def _where(result: Result, on: str) -> list[int]:
    """Which programs a row is for."""
    if on == "all":
        return list(range(len(result.programs)))
    wanted = {"mill": "end_mill", "drill": "drill", "walk": ""}[on]
    some = [
        i
        for i, p in enumerate(result.programs)
        if (p.kind == "walk-round" if on == "walk" else p.kind == "program" and p.cutter and p.cutter.form == wanted)
    ]
    if not some:
        raise Nothing("no such program")
    return [some[0] if on == "drill" else some[-1]]


def proved(case: Case, result: Result, registry: Registry) -> Proof:
    """What the proof says of it."""
    readings = [reading_of(f, k, t, case.dialect, result.job, registry) for f, k, t in case.texts]
    return prove(result.setups[0], readings, registry)


def judged(case: Case, result: Result, registry: Registry) -> list[str]:
    """Empty where the proof told what the table says; else a line that says what it told instead."""
    told = proved(case, result, registry).findings
    errors = {f.check for f in told if f.severity == "error"}
    if (not errors) if case.row.harmless else bool(errors & case.row.wanted):
        return []
    wanted = case.row.codes or "nothing"
    return [f"{case.row.name}; {case.job}, {case.dialect}: wanted {wanted}, told {sorted(errors) or 'nothing'}"]
