"""The walk-round: extents of all programs of a sheet, shown in the air."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kerfwright.curve import Curve
from kerfwright.planning.programs import named, zero_check
from kerfwright.program import CutterChange, Drilling, Motion, Note, Pause, Program, Role, Step
from kerfwright.setup import Setup

__all__ = ["walk_round"]

PLACES = ("front left corner", "front right corner", "back right corner", "back left corner", "front left corner again")


def walk_round(setup: Setup, programs: Sequence[Program]) -> Program:
    """Once around what all programs sweep (extent of cutter centers and half of DC beyond), at the travel plane.

    The spindle never starts; a stop at each corner. Never clipped: whether it leaves the machine is for the proof to tell.
    """
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for program in programs:
        r = program.cutter.radius
        for step in program.steps:
            if isinstance(step, CutterChange):
                r = step.cutter.radius
            if isinstance(step, Motion):
                x0, y0, x1, y1 = step.curve.bounds
            elif isinstance(step, Drilling):
                (x0, y0), (x1, y1) = step.points.min(0), step.points.max(0)
            else:
                continue
            low, high = np.minimum(low, [x0 - r, y0 - r]), np.maximum(high, [x1 + r, y1 + r])
    cutter, travel = programs[0].cutter, setup.heights.travel
    corners = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
    steps: list[Step] = [
        Note(f"{setup.job.name}: walk-round of sheet {setup.number}, spindle stays off"),
        Note(f"extent {high[0] - low[0]:.1f} x {high[1] - low[1]:.1f} mm"),
        *zero_check(setup),
        CutterChange(cutter),
    ]
    feed = setup.job.machine.feed.xy
    legs = [corners[:1], corners[:2], corners[1:3], corners[2:4], corners[[3, 0]]]
    for leg, place in zip(legs, PLACES, strict=True):
        nodes = np.column_stack([leg, np.full(len(leg), travel)])
        n = len(leg) - 1
        if n:
            role = np.full(n, Role.NON_CONTACT, np.int64)
            steps.append(Motion(Curve.line(nodes), role, np.full(n, feed), np.zeros(n, np.int64)))
        else:  # a way of no length: the program states the place, and moves there
            steps.append(
                Motion(
                    Curve.line(np.repeat(nodes, 2, axis=0)),
                    np.array([Role.NON_CONTACT], np.int64),
                    np.zeros(1),
                    np.zeros(1, np.int64),
                )
            )
        x, y = leg[-1]
        steps.append(Pause(f"{place}: X {x:.1f} Y {y:.1f} mm, clear?"))
    name = named(setup, "walk-round")
    return Program(name, "walk-round", setup.number, cutter, travel, tuple(steps))
