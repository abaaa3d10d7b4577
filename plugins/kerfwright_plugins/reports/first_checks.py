"""What the operator looks at before the spindle starts. Source: common practice of shops that rout sheet."""

from __future__ import annotations

import math

from kerfwright.result import Result

__all__ = ["first_checks"]


def first_checks(result: Result) -> list[str]:
    """Short sentences to tick off, with this job's numbers in them."""
    job, sheet = result.job, result.job.sheet
    t = sheet.thickness
    measured = (
        f"all between {t.least:g} and {t.most:g} mm" if t.least < t.most else f"all {t.most:g} mm, as the job says"
    )
    out = [
        f"Thickness measured in five places, {measured}.",
        f"Board at least {sheet.board:g} mm, flat, no old groove or screw where the cutter goes through.",
        f"Sheet held by {sheet.hold}; nothing stands in the way that the picture does not show.",
    ]
    if sheet.grain.turns:
        out.append(f"Grain lies at {sheet.grain.along:g} degrees from X.")
    for c in job.cutters.values():
        mine = [p for p in result.programs if c in p.cutters and p.kind == "program"]
        if mine:
            deepest = max(result.setups[p.sheet - 1].heights.highest - p.extent[0][2] for p in mine)
            out.append(
                f"T{c.number} {c.name}: measured Ø{c.cuts:g} mm, sharp, clean collet, stands out at least {math.ceil(deepest + 1)} mm below it."
            )
    out.append("Zero of X, Y and Z touched off with this cutter, and Z again after each cutter change.")
    out.append(
        "After touching off raised clear of the sheet: the spindle starts where the cutter stands, then goes up."
    )
    out.append(
        f"Walk-round run, spindle off: the cutter clears all screws at Z{result.setups[0].heights.travel:g} and stays over the sheet."
    )
    if job.machine.spindle.by_hand:
        out.append("Spindle speed set by hand at the stop in each program.")
    out.append("Extraction on, mask and glasses on, second person knows that the machine runs, hand near the stop.")
    return out
