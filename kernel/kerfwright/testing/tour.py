"""Programs that a dialect is tried with: a tour of every step, random ones, and what no dialect may say."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.program import CutterChange, Drilling, Dwell, Motion, Note, Pause, Program, SpindleOff, SpindleOn, Step

__all__ = ["TRAVEL", "never", "some", "tour"]

TRAVEL = 8.0
MILL = Cutter(name="mill", number=1, form="end_mill", diameter=2.0, flute_length=8)
OTHER = Cutter(name="other", number=2, form="end_mill", diameter=3.0, flute_length=8)


def _program(name: str, *steps: Step) -> Program:
    return Program(name, "program", 1, MILL, TRAVEL, steps)


def _motion(points: list[list[float]], turns: list[float], feeds: list[float]) -> Motion:
    return Motion(Curve(np.array(points, float), np.array(turns)), np.full(len(turns), 2), np.array(feeds))


def tour(by_hand: bool) -> Program:
    """Every step, on places worked out by hand: through program zero, quarter arcs both ways, a helix, holes that dwell."""
    way = _motion(
        [
            [0, 0, 8],
            [0, 0, 2],
            [0, 0, -1],
            [40, 0, -1],
            [50, 10, -1],
            [60, 20, -1],
            [60, 24, -1.5],
            [56, 24, -1.8],
            [56, 24, 8],
        ],
        [0, 0, 0, math.pi / 2, -math.pi / 2, 0, math.pi, 0],
        [0, 120, 600, 600, 480, 300, 300, 0],
    )
    holes = Drilling(
        np.array([[10.0, 12.5], [-20.0, 0.0]]), TRAVEL, 2.0, np.array([[-1.0, 2, 1, 0.25], [-2.4, 2, 1, 0]]), 80.0
    )
    return _program(
        "tour", CutterChange(MILL), Note("first a recess; see the page"), SpindleOn(18000.0, 3.0, by_hand), way, Dwell(0.2), holes,
        SpindleOff(6.0), Pause("take the slugs out"), SpindleOn(12000.0, 3.0), way, SpindleOff(6.0),
    )  # fmt: skip


def some(count: int) -> Iterator[Program]:
    """Random ways of lines, arcs and helices, then holes, and every other time a stop and the way once more."""
    for seed in range(count):
        rng = np.random.default_rng(seed)
        n = int(rng.integers(2, 7))
        turns = np.where(rng.random(n) < 0.5, rng.uniform(0.05, 3.0, n) * rng.choice([-1, 1], n), 0.0)
        long, way = rng.uniform(0.5, 30, n), rng.uniform(-math.pi, math.pi, n)
        fall = np.where(rng.random(n) < 0.3, rng.uniform(-1, 1, n), 0.0)
        nodes = np.vstack(
            [
                [10.0, 20.0, 9.0],
                [10.0, 20.0, 9.0] + np.cumsum(np.column_stack([long * np.cos(way), long * np.sin(way), fall]), axis=0),
            ]
        )
        feeds = np.where((turns == 0) & (rng.random(n) < 0.3), 0.0, rng.choice([120.0, 600.0, 620.4], n))
        motion = Motion(Curve(nodes, turns), np.full(n, 2), feeds, rng.choice([-1, 0, 1], n))
        x, y, z = nodes[-1]
        up = Motion(Curve.line([[x, y, z], [x, y, 60.0]]), np.array([4]), np.zeros(1))
        holes = Drilling(
            np.round(rng.uniform(-9, 60, (2, 2)), 3),
            TRAVEL,
            2.0,
            np.array([[-1.2, 2, 1, float(rng.choice([0, 0.25]))]]),
            85.0,
        )
        again = (SpindleOff(2.0), Pause("look"), SpindleOn(9000.0, 1.5), motion, up) if seed % 2 else ()
        yield _program(
            f"way{seed}", CutterChange(MILL), SpindleOn(12000.0, 1.0), motion, up, holes, *again, SpindleOff(2.0)
        )  # fmt: skip


def never(change: str) -> Iterator[tuple[str, Program]]:
    """What each is, and a program that has it."""
    start = [10.0, 20.0, 9.0]
    on = SpindleOn(12000.0, 1.0)
    yield "a feed too small for its digits", _program("slow", on, _motion([start, [20, 20, 9]], [0], [1e-7]))
    yield "a dwell below 0", _program("dwell", Dwell(-1.0))
    yield "a spindle speed of 0", _program("speed", SpindleOn(0.0, 1.0))
    yield "a place 10,000 km away", _program("place", on, _motion([start, [1e10, 20, 9]], [0], [100]))
    yield "a rapid along an arc", _program("rapid", on, _motion([start, [20, 20, 9]], [1.5], [0]))
    yield "a whole circle in one segment", _program("circle", on, _motion([start, [10, 20, 9]], [2 * math.pi], [100]))
    yield (
        "moves from an unknown place below the travel plane",
        _program("low", on, _motion([[10, 20, 1], [20, 20, 1]], [0], [100])),
    )
    yield (
        "a motion that begins elsewhere than the last one ended",
        _program(
            "jump", on, _motion([start, [20, 20, 9]], [0], [100]), Note("x"), _motion([start, [20, 20, 9]], [0], [100])
        ),
    )
    if change == "separate_programs":
        yield "a second cutter in a program of one", _program("cutters", CutterChange(MILL), CutterChange(OTHER))
