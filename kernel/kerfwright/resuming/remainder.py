"""The remainder as a program of steps: an opening of our own, then what the text says from the restart on."""

from __future__ import annotations

from pathlib import PurePath

import numpy as np

from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.evidence import Reading
from kerfwright.job import Job
from kerfwright.program import CutterChange, Note, Pause, Program, SpindleOn, Step
from kerfwright.resuming.restart import Restart
from kerfwright.resuming.steps import motion_of, steps_of
from kerfwright.setup import Setup

__all__ = ["as_program", "remainder_of"]


def remainder_of(setup: Setup, stopped: Reading, begin: Restart, name: str, at: int) -> Program:
    """Of a program that stopped at line `at`. Raises InputError where its cutter is not known, CannotSay where its text says
    what no step stands for.
    """
    job, m = setup.job, stopped.moves
    assert m is not None
    cutter = _cutter(job, stopped, begin.first)
    speed, spindle = float(m.spindle[begin.first]), job.machine.spindle
    line = int(m.lines[begin.first])
    steps: list[Step] = [
        Note(f"{job.name}: remainder of {PurePath(stopped.file).name}, stopped at line {at}"),
        Note(f"begins again with its line {line}, cutter {cutter.name}, diameter {cutter.cuts:g} mm"),
        Note("eye protection on, extraction on, hands away"),
        Pause("broken pieces out of the kerf? zero true, Z touched off with this cutter? cutter above travel plane?"),
        CutterChange(cutter),
    ]
    if speed > 0:
        steps.append(SpindleOn(speed, spindle.wake_s, spindle.by_hand))
    steps += steps_of(m, begin.first, cutter, job)
    return Program(name, "program", setup.number, cutter, setup.heights.travel, tuple(steps))


def _cutter(job: Job, stopped: Reading, move: int) -> Cutter:
    assert stopped.moves is not None
    number = int(stopped.moves.cutter[move])
    found = next((c for c in job.cutters.values() if c.number == number), None) if number else stopped.cutter
    if found is None:
        has = ", ".join(f"T{c.number} {c.name}" for c in job.cutters.values())
        what = f"T{number}" if number else "no T word"
        raise InputError([Fault("--cutter", f"the text has {what}, the job has {has}: name the cutter")])
    return found


def as_program(setup: Setup, r: Reading) -> Program | None:
    """A reading as motion, for the extent of a walk-round."""
    m = r.moves
    known = np.zeros(0, int) if m is None else np.flatnonzero(np.isfinite(m.curve.nodes).all(axis=1))
    if m is None or not len(known) or known[0] == len(m.curve) or r.cutter is None:
        return None
    motion = motion_of(m, int(known[0]), len(m.curve))
    return Program(r.file, r.kind, setup.number, r.cutter, setup.heights.travel, (motion,))
