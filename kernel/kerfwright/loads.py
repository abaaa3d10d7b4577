"""What each operation of a sheet asks of cutter, spindle and machine."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kerfwright.finding import Finding
from kerfwright.forces import Load, load
from kerfwright.formulas import chip_thickness, feed_per_tooth
from kerfwright.job import Job
from kerfwright.operation import Operation
from kerfwright.setup import Setup, Work

__all__ = ["SHARE", "loads", "told", "walls"]

SHARE = 0.25
"""Part of the tolerance that bending may take without a word (our choice)."""
REMEDY = "leave an allowance and add a finishing pass, take a cutter with a shorter reach, or cut less depth in a pass"


def _bottom(job: Job, o: Operation) -> float:
    """How far below the sheet's top an operation goes (mm)."""
    through = job.sheet.thickness.most + (job.sheet.breakthrough if o.pierces else 0.0)
    return (o.depth or through) - o.allowance.bottom


def _left(setup: Setup, work: Work) -> tuple[float, float]:
    """What the operation before left at the wall (mm), 0 where none did, and how much deeper this one goes. A wider cutter
    leaves a pocket's corners besides: then there is more than the wall's.
    """
    o = work.operation
    before = [v.operation for v in setup.works if v.index < work.index and set(v.loops) & set(work.loops)]
    if not before or not before[-1].allowance.side:
        return 0.0, 0.0
    if o.kind == "pocket" and before[-1].cutter.cuts > o.cutter.cuts:
        return 0.0, 0.0
    deeper = _bottom(setup.job, o) - _bottom(setup.job, before[-1])
    return before[-1].allowance.side, max(deeper, 0.0)


def loads(setup: Setup) -> Iterator[tuple[Work, Load]]:
    """Of each operation that mills a material whose specific cutting force is known, in its deepest pass. A profile cuts its
    full width, and a pocket its radial depth; what an earlier operation left at the wall is all that the later one takes there,
    down to where the earlier one went: the mean of both counts.
    """
    job = setup.job
    specific = job.sheet.material.cutting_force
    for work in setup.works if specific else ():
        o, r = work.operation, work.rates
        if o.cutter.form != "end_mill":
            continue
        radial = r.radial_depth * o.cutter.cuts if o.kind == "pocket" else o.cutter.cuts
        axial = min(r.axial_depth, _bottom(job, o) - o.start)
        left, deeper = _left(setup, work)
        if left:
            share = min(deeper / axial, 1.0)
            radial = share * radial + (1 - share) * min(left, o.cutter.cuts)
        assert specific is not None
        yield work, load(specific, o.cutter, job.machine, r.spindle, r.feed, axial, radial)


def walls(setups: Sequence[Setup]) -> tuple[Work, Load] | None:
    """The operation whose bending moves a finished wall most; None where none is known."""
    some = [
        (w, one)
        for setup in setups
        for w, one in loads(setup)
        if one.wall is not None and not w.operation.allowance.side and w.loops
    ]
    return max(some, key=lambda pair: pair[1].wall or 0.0, default=None)


def _rubbing(setup: Setup, work: Work) -> Iterator[Finding]:
    """A finishing cut beside little material makes a chip thinner than the feed of a tooth."""
    o, r = work.operation, work.rates
    row = setup.job.sheet.material.row(o.cutter)
    left, _ = _left(setup, work)
    if row is None or row.least_chip is None or o.kind == "pocket" or not 0 < left < o.cutter.cuts / 2:
        return
    chip = chip_thickness(
        feed_per_tooth(r.feed, r.spindle, 1 if o.cutter.flutes == "burr" else o.cutter.teeth),
        left / o.cutter.cuts,
    )
    if chip < row.least_chip * (1 - 1e-9):
        text = (
            f"{work.path}: beside {left:g} mm of material its chip is {chip:.4f} mm, {row.least_chip:g} mm are wanted: it "
            "rubs; leave a wider allowance before it, or give it a faster feed or a slower spindle"
        )
        yield Finding("forces", "note", text)


def told(setups: Sequence[Setup]) -> Iterator[Finding]:
    """Where a spindle is too weak, a finishing cut rubs, or bending eats more than a quarter of the tolerance. What holds of
    several sheets alike is told once.
    """
    yield from dict.fromkeys(_told(setups))


def _told(setups: Sequence[Setup]) -> Iterator[Finding]:
    for setup in setups:
        job = setup.job
        for work, one in loads(setup):
            have = job.machine.spindle.power
            if have is not None and one.power > have:
                text = f"{work.path} needs {one.power:.0f} W, the spindle has {have:g} W: cut less depth in a pass, or more slowly"
                yield Finding("forces", "warning", text)
            yield from _rubbing(setup, work)
            wall = one.wall
            if wall is not None and not work.operation.allowance.side and wall > SHARE * job.tolerance:
                text = (
                    f"{work.path}: {one.side:.1f} N at the side move a wall by {wall:.3f} mm, more than a quarter of the tolerance "
                    f"of {job.tolerance:g} mm: {REMEDY}"
                )
                yield Finding("forces", "warning", text)
