"""Round tours over drilling problems with a published optimum: length, optimum, ratio, seconds.

Run: python tests/bench/routing.py [FOLDER ...]

FOLDER, or the environment variable KERFWRIGHT_ROUTING, holds pcb442.tsp, d657.tsp and d1291.tsp of TSPLIB 95 (G. Reinelt, ORSA
Journal on Computing 3(4), 1991); d493.tsp is looked for there and where the Debian package r-cran-tsp puts it. What is
absent is skipped. Bounds: `shortest` at most 8 % above the optimum and 5 s, `search` (10 s for the library) at most 1 %.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import numpy as np

from kerfwright.arrays import Floats, Ints
from kerfwright.errors import NoRoom
from kerfwright.strategy import Route
from kerfwright_plugins.route.search import Search
from kerfwright_plugins.route.shortest import Shortest

OPTIMA = {"pcb442": 50_778, "d493": 35_002, "d657": 48_912, "d1291": 50_801}
"""Lengths of the shortest round tours, ways rounded to whole units (TSPLIB 95)."""

PACKAGED = Path("/usr/lib/R/site-library/TSP/examples")
ROUTES: tuple[tuple[Route, float, float], ...] = (
    (Shortest(end="start"), 1.08, 5.0),
    (Search(end="start", effort=10), 1.01, 60.0),
)
"""Each with the most it may have of the optimum, and the most seconds."""


def places(file: Path) -> Floats:
    """The coordinates in a file of Euclidean distances (EDGE_WEIGHT_TYPE EUC_2D)."""
    head, _, rows = file.read_text().partition("NODE_COORD_SECTION")
    assert "EUC_2D" in head, f"{file.name} is not of Euclidean distances"
    return np.array([line.split()[1:3] for line in rows.partition("EOF")[0].strip().splitlines()], float)


def rounded_length(at: Floats, tour: Ints) -> int:
    """Of the closed tour, each way rounded to the nearest whole number (nint of TSPLIB 95: int(x + 0.5))."""
    way = np.hypot(*(at[tour] - at[np.roll(tour, -1)]).T)
    return int(np.floor(way + 0.5).sum())


def main(folders: list[str]) -> int:
    """1 where a bound is broken."""
    named = folders or [v for v in [os.environ.get("KERFWRIGHT_ROUTING", "")] if v]
    broken = 0
    for name, optimum in OPTIMA.items():
        file = next((f for d in [*map(Path, named), PACKAGED] if (f := d / f"{name}.tsp").is_file()), None)
        if file is None:
            print(f"{name:<8} skipped: {name}.tsp is in none of the folders")
            continue
        at = places(file)
        for route, most, seconds in ROUTES:
            begun = time.perf_counter()
            try:
                order = route(at[1:], at[1:], np.zeros((0, 2), np.int64), at[0])
            except NoRoom as e:
                print(f"{name:<8} {route.name:<9} skipped: {e}")
                continue
            took = time.perf_counter() - begun
            length = rounded_length(at, np.r_[0, order + 1])
            bad = length > most * optimum or took > seconds
            broken |= bad
            print(
                f"{name:<8} {route.name:<9} {len(at):>5} holes  length {length:>7,}  optimum {optimum:>7,}  "
                f"ratio {length / optimum:.4f}  {took:6.2f} s{'  BROKEN' if bad else ''}"
            )
    return broken


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
