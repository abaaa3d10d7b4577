"""What is corrected, what is not and why, and the sizes of the next piece."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import numpy as np
from attrs import frozen

from kerfwright.adjusting.acceptance import accepted
from kerfwright.adjusting.fitting import Fit
from kerfwright.adjusting.measured import Measured
from kerfwright.adjusting.model import Array

__all__ = ["Correction", "Verdict", "corrections", "verdicts"]

MISFIT = 0.001
"""Where sizes of the stated uncertainties would scatter like these less often than this, the model does not hold (our choice)."""
FAR = 0.1
"""A cutter is not off by more than this part of its diameter: another cutter, or another drawing (our choice)."""
COVERAGE = 2.0
"""k of an expanded uncertainty, about 95 %: ISO/IEC Guide 98-3 (GUM), from memory."""


@frozen
class Correction:
    """Of one cutter (mm): diameter that the paths were made for, the one found, half its 95 % interval.

    `applies`: the job is to be changed. `refused`: there is doubt; `why` tells it, or why there is nothing to do.
    """

    cutter: str
    was: float
    found: float
    half: float | None
    applies: bool
    refused: bool
    why: str


@frozen
class Verdict:
    """Of one size: does it conform, and will it on the next piece? Lengths in mm; None where nothing is known.

    `predicted` is without the scatter from piece to piece.
    """

    now: str | None
    expanded: float | None
    predicted: float
    predicted_expanded: float | None
    then: str | None


def corrections(fit: Fit, odd: Sequence[Measured] = (), fixed: Collection[str] = ()) -> tuple[Correction, ...]:
    """One for each cutter that the sizes tell. When in doubt none applies: doubt of one size is doubt of all.

    `odd` are sizes that do not fit the others. `fixed` are cutters that leave their own shape (drills): a path cannot correct them.
    """
    doubt = ""
    if odd:
        names = " and ".join(s.name for s in odd)
        doubt = f"{names} {'do' if odd[1:] else 'does'} not fit the others: measure again, or leave out with --without"
    elif fit.agreement is not None and fit.agreement < MISFIT:
        doubt = "the sizes scatter more than their uncertainties allow: measure again, or state what they are"
    out = []
    for k, one in enumerate(fit.parameters):
        if one.cutter is None:
            continue
        was, half = fit.diameters[one.cutter], None
        off = float(fit.values[k])
        if fit.uncertainties is not None:
            half = float(fit.factor * fit.uncertainties[k])
        applies, refused, why = _judged(off, half, was, doubt)
        if applies and one.cutter in fixed:
            applies, why = False, "it leaves its own shape, which no path corrects: take another one"
        out.append(Correction(one.cutter, was, round(was + off, 4), half, applies, refused, why))
    return tuple(out)


def _judged(off: float, half: float | None, was: float, doubt: str) -> tuple[bool, bool, str]:
    if doubt:
        return False, True, doubt
    if half is None:
        return False, True, "nothing tells how sure this is: state uncertainties, or measure more sizes"
    if was and abs(off) > FAR * was:
        return False, True, f"more than {FAR:.0%} off: is it this cutter, and this drawing?"
    if abs(off) <= half:
        return False, False, "nothing to correct: no error lies inside the interval"
    return True, False, ""


def verdicts(fit: Fit, applied: Mapping[str, float]) -> tuple[Verdict, ...]:
    """For each size. `applied`: by cutter, how much its diameter in the job is changed (mm)."""
    change: Array = np.array([applied.get(p.cutter or "", 0.0) for p in fit.parameters])
    next_off = fit.explained - fit.effects @ change
    unsure = fit.explained_uncertainty
    out = []
    for k, size in enumerate(fit.sizes):
        expanded = None
        if fit.given:
            expanded = float(COVERAGE * fit.sigma[k])
        elif fit.scatter is not None:
            expanded = float(fit.factor * fit.scatter)
        wide = None if unsure is None else float((COVERAGE if fit.given else fit.factor) * unsure[k])
        now = then = None
        if size.tolerance is not None:
            now = accepted(size.deviation, *size.tolerance, expanded)
            then = accepted(float(next_off[k]), *size.tolerance, wide)
        out.append(Verdict(now, expanded, size.nominal + float(next_off[k]), wide, then))
    return tuple(out)
