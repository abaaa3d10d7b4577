"""From a job to its sheets as they lie on the machine. Every fault is told at once."""

from __future__ import annotations

import attrs

from kerfwright import rates
from kerfwright.drawing import Line
from kerfwright.errors import Fault, InputError
from kerfwright.inspecting.fits import fit_faults
from kerfwright.job import Job
from kerfwright.operation import Operation, Pocket
from kerfwright.placing.choosing import Outline, chosen, described, follows, outlines, why_none
from kerfwright.placing.defaults import fill, instead
from kerfwright.placing.edges import edge_faults
from kerfwright.placing.filled import shapes_of
from kerfwright.placing.finishing import halved, unfinished
from kerfwright.placing.gaps import begin_faults, gap_faults
from kerfwright.placing.holding import bound, hold_faults
from kerfwright.placing.laying import Laid, lay
from kerfwright.placing.limits import job_faults, loop_faults, operation_faults, travel_faults
from kerfwright.placing.order import rank_faults
from kerfwright.placing.recesses import recess_faults
from kerfwright.rates import Rates
from kerfwright.registry import Registry
from kerfwright.settling import settled
from kerfwright.setup import Heights, Setup, Work
from kerfwright.strategy import Strategy

__all__ = ["place"]

Told = list[tuple[str, str]]


def place(job: Job, registry: Registry | None = None) -> tuple[Setup, ...]:
    """One setup a sheet, in program zero: pieces in their places, operations with their loops, rates and bridges; its job
    with the dialect it is written in.

    Raises InputError with every fault, each at its key and line; PluginError where a default strategy is not installed.
    """
    registry = registry or Registry.load()
    job = settled(job, registry)
    heights = Heights.of(job.sheet, job.planes)
    faults: Told = [*job_faults(job), *fit_faults(job)]
    sheets = lay(job, heights, registry)
    faults += [one for laid in sheets for one in laid.faults]
    x0, y0, x1, y1 = sheets[0].stock.bounds
    point = max((o.cutter.point_length for o in job.operations), default=0.0)
    faults += travel_faults(job, x1 - x0, y1 - y0, heights.travel - heights.floor + point)
    worked = _worked(job, heights, faults)
    bound_to_meet = (
        {one.part for o, on in zip(job.operations, worked, strict=True) if not o.over_keepouts for one in on}
        | {k for o in job.operations for k, _ in _followed(job, o)}
        | {k for k, part in enumerate(job.parts) if any(o.on(part.name) for o in job.operations)}
    )
    faults += [(path, message) for laid in sheets for part, path, message in laid.covered if part in bound_to_meet]
    operations = tuple(
        fill(attrs.evolve(o, pace=o.pace or job.pace), job.sheet.material, registry) for o in job.operations
    )
    faults += recess_faults(job.operations, worked)
    told = [job.origin.fault(*one) for one in faults]
    chosen_rates = _rates(job, operations, told)
    spare = [instead(o, registry) for o in job.operations]
    setups = []
    warnings = (*job.warnings, *sheets[0].warnings, *_warnings(job), *unfinished(job.operations, worked))
    for number, laid in enumerate(sheets, 1):
        works, more = _works(job, laid, operations, worked, chosen_rates, spare)
        works = halved(_there(job, works, laid), heights)
        told += [job.origin.fault(*one) for one in more]
        shapes, keepouts = shapes_of(laid.pieces), [area for area, _ in laid.keepouts]
        more = [
            *rank_faults(laid.pieces, shapes, works),
            *hold_faults(job, laid.pieces, shapes, works, keepouts),
            *gap_faults(laid.pieces, shapes, laid.areas, keepouts, works),
            *begin_faults(heights, laid.pieces, shapes, works),
            *edge_faults(job.sheet.hold, laid.stock, laid.pieces, works),
        ]
        told += [job.origin.fault(*one) for one in more]
        setups.append(Setup(job, number, laid.stock, heights, laid.pieces, works, laid.keepouts, warnings))
    if told:
        raise InputError(_once(told))
    return tuple(setups)


def _there(job: Job, works: tuple[Work, ...], laid: Laid) -> tuple[Work, ...]:
    """Without those that only work on parts that lie on other sheets."""
    here = {p.part for p in laid.pieces}
    on = {w.index: {part.name for part in job.parts if w.operation.on(part.name)} for w in works}
    return tuple(
        w for w in works if w.loops or w.lines or (not w.operation.select and (not on[w.index] or on[w.index] & here))
    )


def _worked(job: Job, heights: Heights, faults: Told) -> list[list[Outline]]:
    """The outlines of each operation; an operation that finds none and an outline that none works on are faults."""
    there = outlines(job)
    lifted = {o.key for o in chosen(job.ignore, there)} if job.ignore else set()
    out: list[list[Outline]] = []
    done: set[tuple[int, int]] = set()
    touched: set[tuple[int, int]] = set()
    for k, o in enumerate(job.operations):
        path = f"operations[{k}].{o.kind}"
        found = chosen(o.select, there, done, lifted) if o.select else []
        if o.select is None and not any(o.on(part.name) for part in job.parts):
            names = ", ".join(repr(part.name) for part in job.parts)
            faults.append((path, f"works on no part of the job; there are {names}"))
        elif o.select and not found and there and not _followed(job, o):
            faults.append((f"{path}.select", why_none(o.select, there, done)))
        faults += operation_faults(job, heights, path, o)
        faults += loop_faults(job, path, o, found)
        keys = {one.key for one in found}
        touched |= keys
        if o.through or (isinstance(o, Pocket) and o.finishes):
            done |= keys
        out.append(found)
    for k, part in enumerate(job.parts):
        for line in part.drawing.lines:
            if not any(o.select and o.follows_lines and follows(o.select, part.name, line) for o in job.operations):
                (x, y), (u, v) = line.curve.start[:2].tolist(), line.curve.end[:2].tolist()
                text = f"no operation follows the open line on layer {line.layer!r} from ({x:.4g}, {y:.4g}) to ({u:.4g}, {v:.4g})"
                faults.append((f"parts[{k}]", text))
    if job.ignore and not lifted and there:
        faults.append(("ignore", why_none(job.ignore, there)))
    for k in range(len(job.parts)):
        idle = [o for o in there if o.part == k and o.key not in touched and o.key not in lifted]
        faults += [
            (f"parts[{k}]", f"no operation works on {text}; allowed: select it, or `ignore`")
            for text in described(idle)
        ]
    return out


def _followed(job: Job, o: Operation) -> list[tuple[int, Line]]:
    """Open lines that an operation follows, with the part of each."""
    if not o.select or not o.follows_lines:
        return []
    every = [(k, part, line) for k, part in enumerate(job.parts) for line in part.drawing.lines]
    return [(k, line) for k, part, line in every if follows(o.select, part.name, line)]


def _rates(job: Job, operations: tuple[Operation, ...], told: list[Fault]) -> list[Rates]:
    found = []
    for k, o in enumerate(operations):
        try:
            t, below = job.sheet.thickness, job.sheet.breakthrough
            found.append(rates.choose(o, job.sheet.material, job.machine, job.pace, t.most, below, job.tolerance))
        except InputError as e:
            found.append(Rates(0, 0, 0, 0, 0, {}))
            told += [job.origin.fault(f"operations[{k}].{o.kind}.{f.path}".rstrip("."), f.message) for f in e.faults]
    return found


def _works(
    job: Job,
    laid: Laid,
    operations: tuple[Operation, ...],
    worked: list[list[Outline]],
    found: list[Rates],
    spare: list[dict[str, tuple[Strategy, ...]]],
) -> tuple[tuple[Work, ...], Told]:
    """Operations with their loops on every piece, and the bridges bound to those."""
    paths = [f"operations[{k}].{o.kind}" for k, o in enumerate(operations)]
    loops = [
        tuple((p, one.index) for p, part in enumerate(laid.parts) for one in on if one.part == part) for on in worked
    ]
    lines = [
        tuple((p, line) for p, part in enumerate(laid.parts) for k, line in _followed(job, o) if k == part)
        for o in operations
    ]
    bridges, faults = bound(list(zip(paths, operations, loops)), laid.pieces)
    return (
        tuple(
            Work(k, path, o, on, r, {key: bridges[key] for key in on if key in bridges}, open_, more)
            for k, (path, o, on, r, open_, more) in enumerate(zip(paths, operations, loops, found, lines, spare))
        ),
        faults,
    )


def _once(faults: list[Fault]) -> list[Fault]:
    return list(dict.fromkeys(faults))


def _warnings(job: Job) -> list[str]:
    if job.sheet.breakthrough and not job.sheet.board and any(o.pierces for o in job.operations):
        return [
            f"nobody said that there is a board: a through cut goes {job.sheet.breakthrough:g} mm below the sheet, into what "
            "lies under it"
        ]
    return []
