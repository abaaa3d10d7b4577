"""What cutter, sheet, board and machine allow: faults told before anything is planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import attrs

from kerfwright.choosing import Outline
from kerfwright.fields import spec
from kerfwright.job import Job
from kerfwright.operation import Drill, Operation, Pocket, Profile

__all__ = ["CLEARANCE", "job_faults", "loop_faults", "not_yet", "operation_faults", "travel_faults"]

CLEARANCE = 2.0
"""By how much the travel plane clears the highest keepout (mm)."""

Told = Iterator[tuple[str, str]]


def not_yet(job: Job) -> Told:
    """Keys of the contract whose feature comes later, wherever they differ from their default."""
    for name in ("sheet", "planes", "quote"):
        yield from _later(getattr(job, name), name)
    yield from _later(job.machine, "machine")
    if job.quote is not None:
        yield "quote", "not yet supported"
    for name, cutter in job.cutters.items():
        yield from _later(cutter, f"cutters.{name}")
    for k, part in enumerate(job.parts):
        yield from _later(part, f"parts[{k}]")
    for k, operation in enumerate(job.operations):
        yield from _later(operation, f"operations[{k}].{operation.kind}")
    if job.machine.cutter_change != "separate_programs":
        yield (
            "machine.cutter_change",
            f"found {job.machine.cutter_change!r}: not yet supported, allowed: separate_programs",
        )


def _later(value: Any, path: str) -> Told:
    if value is None or not attrs.has(type(value)):
        return
    for one in attrs.fields(type(value)):
        what, now = spec(one), getattr(value, one.name)
        if what is None:
            continue
        key = f"{path}.{what.key or one.name}"
        if what.later and now != _default(one):
            yield key, "not yet supported"
        elif what.kind == "nested":
            yield from _later(now, key)


def _default(one: attrs.Attribute[Any]) -> Any:
    default: Any = one.default
    return default.factory() if hasattr(default, "factory") and not default.takes_self else default


def job_faults(job: Job) -> Told:
    """Cutters, planes, keepouts and names."""
    if not job.parts:
        yield "parts", "found none, allowed: at least one part"
    if not job.operations:
        yield "operations", "found none, allowed: at least one operation"
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
    highest = max((v.height for v in job.sheet.keepout), default=0.0)
    if job.sheet.keepout and job.planes.travel < highest + CLEARANCE:
        yield (
            "planes.travel",
            f"found {job.planes.travel:g} mm, allowed: at least {highest + CLEARANCE:g} mm, {CLEARANCE:g} mm above the "
            "highest keepout",
        )


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


def operation_faults(job: Job, path: str, o: Operation) -> Told:
    """Cutter, depths and bridges of one operation against sheet and board."""
    t, cutter = job.sheet.thickness, o.cutter
    if cutter not in job.cutters.values():
        yield f"{path}.cutter", f"found {cutter.name!r}, allowed: one of the job's cutters"
    if isinstance(o, Profile | Pocket) and cutter.form == "drill":
        yield f"{path}.cutter", f"found a drill for a {o.kind}, allowed: an end_mill"
    point = cutter.point_length if cutter.form == "drill" else 0.0
    bottom = t.least if o.depth is None else o.depth
    if o.start >= bottom:
        yield f"{path}.from", f"found {o.start:g} mm, allowed: less than the depth of {bottom:g} mm"
    if o.depth is not None and o.depth <= 0:
        yield f"{path}.depth", f"found {o.depth:g} mm, allowed: through, or a depth above 0"
    elif o.depth is not None and o.depth + point >= t.least:
        with_point = f" and {point:.4g} mm of point" if point else ""
        yield (
            f"{path}.depth",
            f"found {o.depth:g} mm{with_point} in a sheet of {t.least:g} mm at its thinnest, allowed: through, or less",
        )
    deep = (t.most + job.sheet.breakthrough if o.depth is None else o.depth) + point
    for what, limit in _reaches(o):
        if limit < deep - 1e-9:
            yield f"{path}.cutter", f"{what} {limit:g} mm is too short: the cut is {deep:.4g} mm deep"
    if o.depth is None and job.sheet.board and job.sheet.breakthrough + point >= job.sheet.board:
        yield (
            "sheet.board",
            f"found {job.sheet.board:g} mm, allowed: above {job.sheet.breakthrough + point:.4g} mm, how far {path} goes below "
            "the sheet",
        )
    bridges = getattr(o, "bridges", None)
    if bridges is not None and bridges.thickness > t.least:
        yield (
            f"{path}.bridges.{bridges.name}.thickness",
            f"found {bridges.thickness:g} mm, allowed: at most {t.least:g} mm, the sheet at its thinnest",
        )


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
    for one in on:
        if one.circle is None:
            yield f"{path}.select", f"{one} is no circle; a drill makes round holes"
        elif abs(one.circle.diameter - o.cutter.cuts) > job.tolerance:
            yield (
                f"{path}.select",
                f"{one} is not the hole of a drill of {o.cutter.cuts:g} mm, allowed: within {job.tolerance:g} mm",
            )
