"""An adjustment in words and tables for people, and as data for programs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from kerfwright.adjusting.adjustment import Adjustment
from kerfwright.adjusting.fitting import Fit
from kerfwright.adjusting.model import SQUARE, Parameter
from kerfwright.adjusting.outliers import standardized
from kerfwright.outlines.chains import counted

__all__ = ["as_data", "patch", "told"]

PPM, DEG = 1e6, 180 / math.pi
AXIS = {"scale_x": "X", "scale_y": "Y"}


def _half(fit: Fit, k: int) -> float | None:
    return None if fit.uncertainties is None else float(fit.factor * fit.uncertainties[k])


def _value(one: Parameter, value: float, half: float | None) -> str:
    """A value with half its 95 % interval.

    >>> _value(Parameter("scale_x", "scale of X", ""), 0.0003, 0.00002)
    '+300 ppm ± 20'
    """
    factor, unit, form = (1.0, "mm", "+.4f") if one.cutter else (DEG, "deg", "+.4f") if one.key == SQUARE else (PPM, "ppm", "+.0f")  # fmt: skip
    unsure = "± not known" if half is None else f"± {format(half * factor, form[1:])}"
    return f"{value * factor:{form}} {unit} {unsure}"


def _machine(a: Adjustment) -> Iterator[str]:
    """What belongs in the controller's own settings, where it is told apart from no error."""
    for k, one in enumerate(a.fit.parameters):
        value, half = float(a.fit.values[k]), _half(a.fit, k)
        if one.cutter or half is None or abs(value) <= half:
            continue
        if one.key == SQUARE:
            yield f"X and Y are {90 - value * DEG:.4f} ± {half * DEG:.4f} deg apart: square the machine, a job cannot"
        else:
            moves = f"{AXIS[one.key]} moves {1 + value:.6f} ± {half:.6f} mm for each mm told"
            yield f"{moves}: correct it in the controller's own settings, a job cannot"


def told(a: Adjustment) -> str:
    """Values with their 95 % intervals, sizes with residuals and verdicts, outliers, what cannot be told."""
    fit = a.fit
    kind = "uncertainties as stated" if fit.given else "uncertainty from the scatter"
    if fit.scatter is not None and fit.scatter == fit.floor:
        kind = f"uncertainty from the digits written, steps of {fit.floor * 12**0.5:.3g} mm: the sizes agree better than that"
    rows = [
        f"{counted(len(fit.sizes), 'size')}, {counted(len(fit.parameters), 'value')}, {fit.freedom} to spare; {kind}",
        "",
    ]
    found = {c.cutter: c for c in a.corrections}
    for k, one in enumerate(fit.parameters):
        after = ""
        if one.cutter:
            c = found[one.cutter]
            after = f"   made for {c.was:.4f}, cuts {c.found:.4f} mm" if c.was else ""
        rows.append(f"  {one.name:<22} {_value(one, float(fit.values[k]), _half(fit, k))}{after}")
        if fit.depends.get(one.key):
            others = [p.name for p in fit.depends[one.key]]
            rows.append(f"    holds only if {' and '.join(others)} {'has' if len(others) == 1 else 'have'} no error")
    rows += [f"  {u}" for u in map(str, fit.untold)]
    rows += ["  (± is half the 95 % interval)", "", *_table(a), ""]
    for n, (size, without) in enumerate(a.outliers):
        values = "; ".join(
            f"{p.name} {_value(p, float(v), _half(without, k))}"
            for k, (p, v) in enumerate(zip(without.parameters, without.values, strict=True))
        )
        rows.append(
            f"outlier: {size.name} does not fit the others; without it{' and those above' if n else ''}: {values}"
        )
    if fit.agreement is not None and fit.agreement < 0.05:
        rows.append(f"the sizes scatter more than stated (chance {fit.agreement:.2g}): the intervals are too narrow")
    rows += list(_machine(a))
    rows += [f"{c.cutter}: not corrected: {c.why}" for c in a.corrections if not c.applies]
    return "\n".join(rows)


def _table(a: Adjustment) -> Iterator[str]:
    wide = max(4, *(len(s.name) for s in a.fit.sizes))
    yield f"  {'size':<{wide}} kind     along  nominal measured residual  /its own  now                 next"
    each = zip(a.fit.sizes, a.fit.residuals, standardized(a.fit), a.verdicts, strict=True)
    for s, residual, standard, v in each:
        own = "no check" if math.isnan(standard) else f"{standard:+.1f}"
        then = f"{v.predicted:8.3f}" + ("" if v.predicted_expanded is None else f" ± {v.predicted_expanded:.3f}")
        yield (
            f"  {s.name:<{wide}} {s.kind:<8} {s.along:5.4g} {s.nominal:8.3f} {s.measured:8.3f} {residual:+8.3f} "
            f"{own:>9}  {v.now or '-':<16} {then} {v.then or ''}"
        ).rstrip()


def patch(a: Adjustment, source: str) -> str:
    """YAML to paste into the job: the cutters, and as comments what belongs into the controller. Empty: nothing to change."""
    notes = [f"# {line}" for line in _machine(a)]
    if not a.measured:
        return "\n".join([*notes, ""]) if notes and not a.refused else ""
    rows = [f"# from the sizes in {source}", *notes, "cutters:"]
    for c in a.corrections:
        if c.cutter in a.measured:
            rows += [
                f"  {c.cutter}:",
                f"    measured: {c.found:.4f} mm  # the paths were made for {c.was:.4f}; ± {c.half or 0:.4f} (95 %)",
            ]
    return "\n".join(rows) + "\n"


def as_data(a: Adjustment) -> dict[str, Any]:
    """Lengths in mm, scales as fractions, squareness in rad."""
    fit, ranges = a.fit, a.fit.intervals
    return {
        "values": [
            {
                "key": p.key,
                "value": float(fit.values[k]),
                "standard_uncertainty": None if fit.uncertainties is None else float(fit.uncertainties[k]),
                "interval_95": None if ranges is None else ranges[k].tolist(),
                "holds_only_without": [q.key for q in fit.depends.get(p.key, ())],
            }
            for k, p in enumerate(fit.parameters)
        ],
        "covariance": None if fit.covariance is None else fit.covariance.tolist(),
        "freedom": fit.freedom,
        "not_told": [
            {"key": u.parameter.key, "mixed_with": [q.key for q in u.mixed], "measure": u.parameter.tells}
            for u in fit.untold
        ],
        "sizes": [
            {
                "name": s.name,
                "residual": float(r),
                "standardized": None if math.isnan(w) else float(w),
                "verdict": v.now,
                "predicted": v.predicted,
                "predicted_expanded": v.predicted_expanded,
                "predicted_verdict": v.then,
            }
            for s, r, w, v in zip(fit.sizes, fit.residuals, standardized(fit), a.verdicts, strict=True)
        ],
        "outliers": [s.name for s, _ in a.outliers],
        "corrections": [
            {"cutter": c.cutter, "made_for": c.was, "found": c.found, "half_95": c.half, "applies": c.cutter in a.measured, "why": c.why or None}
            for c in a.corrections
        ],
        "refused": a.refused,
    }  # fmt: skip
