"""What cutter, sheet, board and machine allow: faults told before anything is planned."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from kerfwright.job import Job
from kerfwright.operation import Drill, Operation, Pocket, Profile
from kerfwright.placing.choosing import Outline, described
from kerfwright.placing.finishing import finish_faults
from kerfwright.setup import Heights
from kerfwright.standards import GENERAL

__all__ = ["CLEARANCE", "job_faults", "loop_faults", "operation_faults", "travel_faults"]

CLEARANCE = 2.0
"""By how much the travel plane clears the highest keepout (mm)."""

Told = Iterator[tuple[str, str]]


def job_faults(job: Job) -> Told:
    """Parts, operations, cutters, planes and keepouts, each by itself."""
    if not _positive(job.tolerance):
        yield "tolerance", f"found {job.tolerance!r}, allowed: a number above 0 mm"
    if job.tolerance_class not in (None, *GENERAL):
        yield "tolerance", f"found the class {job.tolerance_class!r}, allowed: {', '.join(GENERAL)}"
    if not job.parts:
        yield "parts", "found none, allowed: at least one part"
    if not job.operations:
        yield "operations", "found none, allowed: at least one operation"
    yield from _quote_faults(job)
    seen: dict[str, int] = {}
    for k, part in enumerate(job.parts):
        if part.name in seen:
            yield f"parts[{k}].name", f"found {part.name!r}, which is the name of parts[{seen[part.name]}] already"
        seen.setdefault(part.name, k)
    numbers: dict[int, str] = {}
    for name, cutter in job.cutters.items():
        if cutter.number in numbers:
            yield (
                f"cutters.{name}.number",
                f"found {cutter.number}, which is the number of {numbers[cutter.number]!r} already",
            )
        numbers.setdefault(cutter.number, name)
    for k, keepout in enumerate(job.sheet.keepout):
        if shapely.is_empty(keepout.area) or not shapely.is_valid(keepout.area):
            yield f"sheet.keepout[{k}]", "its outline crosses itself or has no area"
    highest = max((v.height for v in job.sheet.keepout), default=0.0)
    if job.sheet.keepout and job.planes.travel < highest + CLEARANCE:
        yield (
            "planes.travel",
            f"found {job.planes.travel:g} mm, allowed: at least {highest + CLEARANCE:g} mm, {CLEARANCE:g} mm above the "
            "highest keepout",
        )


def _quote_faults(job: Job) -> Told:
    q = job.quote
    if q is None:
        return
    if q.sheet_price is None and q.hourly_rate is None:
        yield "quote", "found neither sheet_price nor hourly_rate, allowed: one of them at least"
    if q.sheet_share == "used" and job.sheet.size is None:
        yield "quote.sheet_share", "found used, allowed: whole, as without sheet.size nobody knows how long a sheet is"


def travel_faults(job: Job, width: float, depth: float, tall: float) -> Told:
    """The sheet (mm in X and Y), and from floor to travel plane in Z, within the machine's travel."""
    if job.machine.travel is None:
        return
    for axis, need, have, what in (
        ("X", width, job.machine.travel[0], "the sheet is"),
        ("Y", depth, job.machine.travel[1], "the sheet is"),
        ("Z", tall, job.machine.travel[2], "from the deepest cut to the travel plane it is"),
    ):
        if need > have + 1e-6:
            key = "planes.travel" if axis == "Z" else "sheet.size"
            yield key, f"{what} {need:g} mm in {axis}, allowed: at most {have:g} mm, the machine's travel"


def operation_faults(job: Job, heights: Heights, path: str, o: Operation) -> Told:
    """Cutter, depths and bridges of one operation against sheet and board."""
    cutter, sheet = o.cutter, job.sheet
    if cutter not in job.cutters.values():
        yield f"{path}.cutter", f"found {cutter.name!r}, allowed: one of the job's cutters"
    if isinstance(o, Profile | Pocket) and cutter.form not in o.forms:
        yield f"{path}.cutter", f"found a {cutter.form} for a {o.kind}, allowed: an end_mill"
    if o.depth is not None and not _positive(o.depth):
        yield f"{path}.depth", f"found {o.depth!r}, allowed: through, or a depth above 0 mm"
        return
    if o.depth is None and not o.through:
        return  # its depth follows from its own parameters: planning sees it
    point = cutter.point_length if isinstance(o, Drill) else 0.0
    thick = heights.top - heights.underside
    if o.depth is not None and o.depth + point >= thick:
        below = f" and a point of {point:.4g} mm" if point else ""
        yield f"{path}.depth", f"found {o.depth:g} mm{below}, allowed: through, or less than the sheet's {thick:g} mm"
    bottom = thick if o.depth is None else o.depth
    if o.start >= bottom:
        yield f"{path}.from", f"found {o.start:g} mm, allowed: less than the depth, {bottom:g} mm"
    for key, text in finish_faults(o, thick):
        yield f"{path}.{key}", text
    deep = heights.highest - heights.floor_of(o) + point
    for what, limit in _reaches(o):
        if limit < deep - 1e-9:
            yield f"{path}.cutter", f"its {what} of {limit:g} mm is too short: the cut is {deep:.4g} mm deep"
    below_sheet = sheet.breakthrough + point
    if o.pierces and sheet.board and below_sheet >= sheet.board:
        yield (
            "sheet.board",
            f"found {sheet.board:g} mm, allowed: above {below_sheet:.4g} mm, how far {path} goes into it",
        )
    bridges = getattr(o, "bridges", None)
    if bridges is not None and bridges.thickness > sheet.thickness.least:
        yield (
            f"{path}.bridges.thickness",
            f"found {bridges.thickness:g} mm, allowed: at most {sheet.thickness.least:g} mm, the sheet at its thinnest",
        )


def _positive(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value > 0


def _reaches(o: Operation) -> Iterator[tuple[str, float]]:
    if o.cutter.reach is None:
        yield "flute_length", o.cutter.flute_length
    else:
        yield "reach", o.cutter.reach
    if o.cutter.holder is not None:
        yield "holder.above", o.cutter.holder.above


def loop_faults(job: Job, path: str, o: Operation, on: Sequence[Outline]) -> Told:
    """A drill makes the hole of its own diameter."""
    if not isinstance(o, Drill):
        return
    wrong = [one for one in on if one.circle is None]
    for text in described(wrong):
        yield f"{path}.select", f"{text}: no circle, and a drill makes round holes"
    cuts = o.cutter.cuts
    if o.cycle is not None and o.cycle.wide:
        if o.cutter.form == "drill":
            yield f"{path}.cutter", f"found a drill for the cycle {o.cycle.name}, allowed: an end_mill"
        wrong = [one for one in on if one.circle and one.circle.diameter - cuts <= job.allowed(one.circle.diameter)]
        for text in described(wrong):
            yield (
                f"{path}.select",
                f"{text}: too narrow for the cycle {o.cycle.name}, allowed: above {cuts + job.allowed(cuts):g} mm",
            )
        return
    wrong = [one for one in on if one.circle and abs(one.circle.diameter - cuts) > job.allowed(one.circle.diameter)]
    for text in described(wrong):
        yield (
            f"{path}.select",
            f"{text}: not the hole of a drill of {cuts:g} mm, allowed: within {job.allowed(cuts):g} mm",
        )
