"""Flute stepping: a deeper breakthrough lets fresh flute meet the sheet."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import attrs

from kerfwright.cutter import Cutter
from kerfwright.finding import Finding
from kerfwright.job import Job
from kerfwright.ledger.flute import worst
from kerfwright.ledger.grooves import BOARD_LEFT
from kerfwright.ledger.values import Ledger
from kerfwright.result import CutterUse, Result
from kerfwright.setup import Work

__all__ = ["stepped"]


def stepped(result: Result, ledger: Ledger, remake: Callable[[Job], Result]) -> Result:
    """The job made again with the least breakthrough at which every worn end mill that cuts through has fresh flute enough,
    or `result` with a note that says why that cannot be; `result` itself where nothing is worn.

    Stepping is for cuts in one pass: in several passes the tip cuts most, whatever the breakthrough.
    """
    job = result.job
    mine = {w.operation.cutter.name for w in _through(result)}
    worn = [u for u in result.cutters if u.left_m is not None and u.left_m < 0 and u.name in mine]
    if not worn or not result.ok:
        return result
    names = ", ".join(repr(u.name) for u in worn)
    why = "no stretch of its flute is fresh enough for all of this job"
    if any(job.cutters[u.name].flutes == "compression" for u in worn):
        why = "where the up and down flutes of a compression cutter meet must lie in the sheet"
    elif _several(result, worn):
        why = "it cuts in several passes, and its tip does most of them"
    else:
        edges = {f.high for u in worn for f in u.flute if f.high > job.sheet.breakthrough}
        for b in sorted(math.ceil(e * 10 - 1e-6) / 10 for e in edges):
            if all(_lasts(job.cutters[u.name], u, ledger, b, job.sheet.thickness.most) for u in worn):
                why = _hindered(job, b)
                if not why:
                    again = remake(attrs.evolve(job, sheet=attrs.evolve(job.sheet, breakthrough=b)))
                    if again.ok and not _several(again, worn):
                        return _noted(again, _raised(job.sheet.breakthrough, b, names))
                    why = f"{b:g} mm into the board it would not cut in one pass, or not be released"
                break
    return _noted(result, f"no fresh flute for {names}: {why}; change the cutter")


def _noted(result: Result, text: str) -> Result:
    return attrs.evolve(result, findings=(*result.findings, Finding("life", "note", text)))


def _several(result: Result, worn: Sequence[CutterUse]) -> bool:
    """One of the worn cutters goes through in more than one pass."""
    deep = result.job.sheet.thickness.most + result.job.sheet.breakthrough
    names = {u.name for u in worn}
    return any(w.rates.axial_depth < deep - 1e-9 for w in _through(result) if w.operation.cutter.name in names)


def _through(result: Result) -> Iterator[Work]:
    """What cuts through the sheet with an end mill."""
    for setup in result.setups:
        yield from (w for w in setup.works if w.operation.pierces and w.operation.cutter.form == "end_mill")


def _lasts(cutter: Cutter, use: CutterUse, ledger: Ledger, b: float, thick: float) -> bool:
    entry = ledger.cutter(cutter)
    before = worst(entry.flute, b, b + thick) if entry else 0.0
    assert cutter.life is not None
    return before + use.cut_length_mm / 1000 <= cutter.life + 1e-9


def _hindered(job: Job, b: float) -> str:
    """Why a breakthrough cannot be; '' where nothing is in its way."""
    deep, point = (
        b + job.sheet.thickness.most,
        max((o.cutter.point_length for o in job.operations if o.pierces), default=0.0),
    )
    through = {o.cutter.name: o.cutter for o in job.operations if o.pierces}
    short = [n for n, c in through.items() if min(c.flute_length, c.reach or c.flute_length) < deep - 1e-9]
    if b + point > job.sheet.board - BOARD_LEFT + 1e-9:
        return f"it begins at {b:g} mm, too deep for a board of {job.sheet.board:g} mm"
    if b > 10:
        return f"it begins at {b:g} mm, a breakthrough is at most 10 mm"
    if short:
        return f"it begins at {b:g} mm, and {', '.join(map(repr, short))} would have to cut {deep:g} mm deep"
    return ""


def _raised(before: float, b: float, names: str) -> str:
    return (
        f"breakthrough {b:g} mm instead of {before:g} mm, so that fresh flute of {names} meets the sheet; `check` and `resume` "
        f"of these programs need `breakthrough: {b:g} mm` in the job"
    )
