"""A sheet's operations as programs: consecutive ones with one cutter make one, or a stretch of one that changes cutters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TypeAlias

import numpy as np
from attrs import evolve

from kerfwright.arrays import Floats
from kerfwright.cutter import Cutter
from kerfwright.planning.bridging import measured
from kerfwright.planning.context import Context
from kerfwright.planning.faults import refused
from kerfwright.planning.held import Held
from kerfwright.planning.kinds import KINDS, Planned, planned
from kerfwright.planning.nesting import Nest
from kerfwright.planning.rooms import Rooms
from kerfwright.program import CutterChange, Drilling, Note, Pause, Program, SpindleOff, SpindleOn, Step
from kerfwright.registry import Registry
from kerfwright.setup import Setup, Work

__all__ = ["named", "plan_setup", "zero_check"]

Run: TypeAlias = Sequence[tuple[Work, Planned]]
"""Consecutive works with one cutter."""


def plan_setup(setup: Setup, registry: Registry | None = None) -> tuple[Program, ...]:
    """The programs of one sheet, in running order; the same setup gives the same programs.

    Every strategy of `setup` is filled in already, so that `registry` is not looked at. Raises InputError where the
    cutter or a strategy finds no room, BrokenPromise where a strategy's answer violates its protocol.
    """
    nest = Nest.of(setup)
    rooms: dict[tuple[float, float], Rooms] = {}
    placing = _placing(setup, nest)
    found: list[Planned] = []
    for work, bridged in zip(setup.works, placing, strict=True):
        radius = work.operation.cutter.radius
        clear = radius + work.operation.allowance.side
        around = rooms.setdefault((radius, clear), Rooms(nest, radius, clear))
        found.append(planned(Context(setup, work, nest, around, bridged)))
    held = measured([a for p in found for a in p.asked], [k for p in found for k in p.kerfs])
    runs = [list(g) for _, g in groupby(zip(setup.works, found, strict=True), lambda one: one[0].operation.cutter)]
    several = [[run] for run in runs] if setup.job.machine.cutter_change == "separate_programs" else [runs]
    return tuple(_program(setup, k, len(several), some, held) for k, some in enumerate(several, 1))


def _placing(setup: Setup, nest: Nest) -> list[frozenset[int]]:
    """Of which rows each work places the bridges: the deepest that cuts the outline does, of those the one that comes
    nearest to its wall, of those the first.
    """
    best: dict[int, int] = {}
    declared: dict[int, Work] = {}
    for k, work in enumerate(setup.works):
        if work.operation.kind not in KINDS:  # what answers for itself places no bridges
            continue
        rows = {nest.row(key) for key in work.loops if key in work.bridges}
        declared.update(dict.fromkeys(sorted(rows), work))
        if work.operation.kind == "pocket":  # bridges hold what it surrounds; those of its outlines are another's
            rows &= {k for some in nest.islands([nest.row(key) for key in work.loops]).values() for k in some}
        for row in sorted(rows):
            if _rank(setup, work) < _rank(setup, setup.works[best.setdefault(row, k)]):
                best[row] = k
    for row, work in declared.items():
        if row not in best:
            raise refused(setup, work, f"{nest.label(row)}: not yet: bridges that no profile places", "bridges")
    return [frozenset(row for row, mine in best.items() if mine == k) for k in range(len(setup.works))]


def _rank(setup: Setup, work: Work) -> tuple[float, float]:
    return round(setup.heights.floor_of(work.operation), 9), work.operation.allowance.side


def named(setup: Setup, rest: str) -> str:
    """Name of a program: the job, the sheet where it is not the first, and the rest."""
    sheet = "" if setup.number == 1 else f"sheet-{setup.number}-"
    return f"{setup.job.name}-{sheet}{rest}"


def _program(setup: Setup, number: int, of: int, runs: Sequence[Run], held: Held) -> Program:
    """Of runs that each have one cutter."""
    cutters = list(dict.fromkeys(run[0][0].operation.cutter for run in runs))
    steps: list[Step] = [*_notes(setup, number, of, cutters), *zero_check(setup)]
    told = False
    for run in runs:
        steps.append(CutterChange(run[0][0].operation.cutter))
        steps += _run(setup, run, held, told)
        told = told or any(work.last for work, _ in run)
    name = named(setup, "-".join([str(number), *(cutter.name for cutter in cutters)]))
    return Program(name, "program", setup.number, cutters[0], setup.heights.travel, tuple(steps))


def _run(setup: Setup, run: Run, held: Held, told: bool) -> Iterator[Step]:
    """With one cutter, from a place the text must state to the spindle's standstill; `told`: skins were begun before."""
    spindle = setup.job.machine.spindle
    speed = 0.0
    here: Floats | None = None
    for work, plan in run:
        if work.rates.spindle != speed:
            if speed and spindle.by_hand:
                yield SpindleOff(spindle.run_down_s)
            speed = work.rates.spindle
            yield SpindleOn(speed, spindle.wake_s, spindle.by_hand)
        if work.last and not told:
            told = True
            yield Note("skins from here on: what was held by them comes free")
        step = evolve(plan.step(held, here), operation=work.path)
        yield step
        here = np.array([*step.points[-1], step.travel]) if isinstance(step, Drilling) else step.curve.end
    yield SpindleOff(spindle.run_down_s)


def zero_check(setup: Setup) -> list[Step]:
    """The stop of a machine that does not know where it is."""
    if setup.job.machine.home:
        return []
    return [Pause("machine has no reference switches: zero set? cutter above travel plane?")]


def _notes(setup: Setup, number: int, of: int, cutters: Sequence[Cutter]) -> list[Step]:
    job = setup.job
    sheet, zero = job.sheet, job.sheet.zero
    face = "top of the sheet" if zero.z == "sheet_top" else "face that the sheet lies on"
    lines = [
        f"{job.name}: program {number} of {of}, sheet {setup.number}",
        *(f"cutter {cutter.name}, diameter {cutter.cuts:g} mm" for cutter in cutters),
        f"sheet {sheet.material.name or 'of unnamed material'}, {sheet.thickness.nominal:g} mm, held by {sheet.hold}",
        f"zero X {_edge(zero.x)}, Y {_edge(zero.y)}, Z on the {face}",
        "eye protection on, extraction on, hands away",
    ]
    return [Note(line) for line in lines]


def _edge(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:g} mm from the edge"
