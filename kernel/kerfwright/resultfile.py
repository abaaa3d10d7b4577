"""`result.json`: what other programs read. Stable keys, mm, program zero; the same bytes for the same job."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any

from kerfwright.budget import Budget
from kerfwright.errors import Fault
from kerfwright.finding import Finding
from kerfwright.places import pictured
from kerfwright.result import ProgramText, Result
from kerfwright.resumption import Resumption

__all__ = ["refused_json", "result_dict", "result_json"]


def _mm(value: float) -> float:
    """Rounded to a hundredth of a micrometre, so that the last bits of arithmetic do not change the file."""
    return round(float(value), 5) + 0.0


def _program(p: ProgramText, result: Result) -> dict[str, Any]:
    return {
        "file": p.file,
        "kind": p.kind,
        "sheet": p.sheet,
        "dialect": p.dialect,
        "varied": result.varied,
        "cutter": None if p.cutter is None else p.cutter.name,
        "cutters": [c.name for c in p.cutters],
        "released": result.ok,
        "lines": p.lines,
        "bytes": len(p.data),
        "sha256": p.sha256,
        **_times(p),
        "cut_length_mm": round(p.cut_length_mm, 2) + 0.0,
        "travel_length_mm": round(p.travel_length_mm, 2) + 0.0,
        "extent": [[_mm(v) for v in corner] for corner in p.extent],
    }


def _times(p: ProgramText) -> dict[str, Any]:
    """Seconds, and how they were found: `time_kind` accelerated where the machine says its accelerations, else least.

    `time_s` is what the machine needs by itself. `waiting_s` comes on top for cutter changes where the program stops, and `stops`
    counts all stops for the operator. `operations` are rounded down, so that with `between_s` (the way to the first place, spindle,
    dwells and changes between) they are the `time_s`; a program without a plan has none.
    """
    whole = round(p.time_s, 1)
    each = [math.floor(o.time_s * 10 + 1e-6) / 10 for o in p.operations]
    return {
        "time_s": whole,
        "time_kind": p.time_kind,
        "waiting_s": round(p.times.waiting_s, 1) if p.times else 0.0,
        "stops": p.times.waits.stops if p.times else 0,
        "operations": [
            {"operation": o.operation, "cutter": o.cutter, "time_s": took}
            for o, took in zip(p.operations, each, strict=True)
        ],
        "between_s": round(whole - sum(each), 1) + 0.0 if each else None,
    }


def finding_dict(f: Finding) -> dict[str, Any]:
    """One finding."""
    return {
        "check": f.check,
        "severity": f.severity,
        "message": f.message,
        "at": None if f.at is None else [round(float(v), 3) + 0.0 for v in f.at],
        "program": f.program or None,
        "line": f.line or None,
        "remedy": f.remedy or None,
    }


def result_dict(result: Result) -> dict[str, Any]:
    """The mapping behind `result.json`. `programs` are listed also where they were not released, as evidence."""
    pictures, budgets = pictured(result), {b.part: b for b in result.budgets}
    return {
        "job": result.job.name,
        "version": result.version,
        "ok": result.ok,
        "programs": [_program(p, result) for p in result.programs],
        "findings": [{**finding_dict(f), "picture": pictures.get(k)} for k, f in enumerate(result.findings)],
        "checks": list(result.checks),
        "parts": [
            {
                "name": p.name,
                "sheet": p.sheet,
                "copy": p.copy,
                "worst_gouge_mm": _mm(p.worst_gouge_mm),
                "worst_leftover_mm": _mm(p.worst_leftover_mm),
                "held_by": p.held_by,
                "budget": _budget(budgets.get(p.name)),
            }
            for p in result.parts
        ],
        "cutters": [
            {
                "name": c.name,
                "diameter_mm": _mm(result.job.cutters[c.name].diameter),
                "measured_mm": _measured(result, c.name),
                "cut_length_mm": round(c.cut_length_mm, 2) + 0.0,
                "life_used": None if c.life_used is None else round(c.life_used, 4),
                "left_m": None if c.left_m is None else round(c.left_m, 3) + 0.0,
                "total_m": round(c.total_m, 3),
            }
            for c in result.cutters
        ],
        "cost": None if result.cost is None else result.cost.as_dict(),
        "cautions": list(result.cautions),
        **({} if result.resumed is None else {"resumed": _resumed(result.resumed)}),
    }


def _measured(result: Result, name: str) -> float | None:
    """The diameter that the paths were made for, where the job says a measured one."""
    measured = result.job.cutters[name].measured
    return None if measured is None else _mm(measured)


def _budget(b: Budget | None) -> dict[str, Any] | None:
    if b is None:
        return None
    entries = [
        {"cause": e.cause, "most_mm": None if e.most is None else _mm(e.most), "source": e.source} for e in b.entries
    ]
    return {"tolerance_mm": b.tolerance, "known_mm": _mm(b.total), "not_known": list(b.unknown), "entries": entries}


def _resumed(r: Resumption) -> dict[str, Any]:
    return {
        "program": r.program,
        "sha256": r.sha256,
        "at": r.at,
        "begins": r.begins,
        "doubt_mm": r.doubt_mm,
        "pieces": [
            {"name": p.name, "sheet": p.sheet, "copy": p.copy, "state": p.state, "why": p.why} for p in r.pieces
        ],
    }


def _text(data: dict[str, Any]) -> str:
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def result_json(result: Result) -> str:
    """The file's text."""
    return _text(result_dict(result))


def refused_json(job: str, version: str, faults: Iterable[Fault]) -> str:
    """The file's text for a job whose input is wrong: no program, the faults as findings."""
    found = [finding_dict(Finding("input", "error", str(f))) for f in faults]
    empty: dict[str, Any] = {
        "programs": [],
        "findings": found,
        "parts": [],
        "cutters": [],
        "cost": None,
        "cautions": [],
    }
    return _text({"job": job, "version": version, "ok": False, **empty})
