"""Where on a sheet a finding lies, and the name of its picture: one rule for `result.json`, pages and pictures."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from kerfwright.finding import Finding
from kerfwright.result import ProgramText, Result

__all__ = ["MOST", "pictured", "place_of", "program_of"]

MOST = 40
"""Pictures of one result: findings come worst first, and more than these nobody looks at."""


def place_of(result: Result, finding: Finding) -> tuple[float, float] | None:
    """X and Y (mm, program zero): as told, else where the program line ends; None where neither says a place."""
    if finding.at is not None:
        return float(finding.at[0]), float(finding.at[1])
    p = program_of(result, finding)
    if p is None or p.moves is None or not finding.line:
        return None
    ends = p.moves.curve.nodes[1:][p.moves.lines == finding.line, :2]
    known = ends[np.isfinite(ends).all(axis=1)]
    return (float(known[-1, 0]), float(known[-1, 1])) if len(known) else None


def program_of(result: Result, finding: Finding) -> ProgramText | None:
    """The program that a finding names, where the result has it."""
    return next((p for p in result.programs if finding.program and p.file == finding.program), None)


def pictured(result: Result) -> Mapping[int, str]:
    """Place of a finding in `result.findings` -> file name of its picture."""
    some = [k for k, f in enumerate(result.findings) if place_of(result, f) is not None][:MOST]
    return {k: f"finding-{n}.svg" for n, k in enumerate(some, 1)}
