"""Benchmark: the time of 100,000 moves, against the bare sum of length over feed in the same run.

Run: python tests/bench/timing.py
"""

from __future__ import annotations

import numpy as np
from run import best  # beside this file

from kerfwright.curve import Curve
from kerfwright.machine import Acceleration, Axes, Machine, Spindle
from kerfwright.moves import Moves
from kerfwright.timing import timed

MACHINE = Machine(
    spindle=Spindle(least=5000, most=24000),
    feed=Axes(xy=3000, z=800),
    rapid=Axes(xy=4000, z=1200),
    acceleration=Acceleration(xy=250, z=120),
)


def program(n: int) -> Moves:
    """A wandering way of lines, arcs and ramps, now and then a rapid."""
    draw = np.random.default_rng(1)
    nodes = np.cumsum(draw.normal(0, [1.0, 1.0, 0.05], (n + 1, 3)), axis=0)
    turns = np.where(draw.random(n) < 0.4, draw.uniform(-2, 2, n), 0.0)
    feeds = np.where(draw.random(n) < 0.05, 0.0, draw.uniform(200, 2500, n))
    return Moves(Curve(nodes, turns), feeds, np.arange(1, n + 1), np.zeros(n), np.ones(n, np.int64))


def main() -> None:
    """One row for 10,000 moves, one for 100,000."""
    for n in (10_000, 100_000):
        moves = program(n)
        bare = moves.curve.nodes, moves.curve.turns

        def mine(moves: Moves = moves, bare: tuple[np.ndarray, np.ndarray] = bare) -> object:
            fresh = Curve(*bare)  # nothing kept from the last run
            return timed(Moves(fresh, moves.feeds, moves.lines, moves.spindle, moves.cutter), MACHINE).total_s

        def floor(moves: Moves = moves, bare: tuple[np.ndarray, np.ndarray] = bare) -> object:
            return np.cumsum(Curve(*bare).lengths_3d / np.where(moves.feeds > 0, moves.feeds, 4000.0))

        a, b = best(mine), best(floor)
        print(
            f"time of {n:>7,} moves {a * 1000:9.1f} ms   cumsum of length / feed {b * 1000:8.2f} ms   ratio {a / b:6.1f}"
        )


if __name__ == "__main__":
    main()
