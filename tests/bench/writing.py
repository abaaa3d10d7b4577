"""A million moves as text against `numpy.savetxt`, and a million random arcs through rounding against the radius rule.

Run: python tests/bench/writing.py
"""

from __future__ import annotations

import io
import math
import re
import time

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.program import Motion, Program
from kerfwright_dialects.nist6556 import Nist6556

MILL = Cutter(name="mill", form="end_mill", diameter=2.0, flute_length=8)


def text_of(*motions: Motion) -> tuple[str, float]:
    """The text, and the best time of three (s)."""
    program, best = Program("bench", "program", 1, MILL, 8.0, motions), math.inf
    for _ in range(3):
        begun = time.perf_counter()
        text = Nist6556().write(program)
        best = min(best, time.perf_counter() - begun)
    return text, best


def motion(nodes: Floats, turns: Floats, feeds: Floats) -> Motion:
    """Contact all the way."""
    return Motion(Curve(nodes, turns), np.full(len(turns), 2), feeds)


def speed(n: int = 1_000_000) -> None:
    """All axes moving; lines, half arcs, and curves of 50 nodes with a third arcs and changing feeds."""
    rng = np.random.default_rng(1)
    nodes = np.cumsum(rng.normal(0, 0.4, (n + 1, 3)), axis=0)
    nodes[:, :2] = np.abs(nodes[:, :2]) % 900 - 100
    nodes[:, 2] = -np.abs(nodes[:, 2]) % 5
    nodes[0, 2] = 9
    feeds, k = np.full(n, 800.0), np.arange(n)
    begun = time.perf_counter()
    np.savetxt(io.BytesIO(), nodes[1:], fmt="%.3f")
    floor = time.perf_counter() - begun
    print(f"numpy.savetxt, the 3 columns of X, Y, Z: {floor:.2f} s")
    short = [
        motion(nodes[a : a + 50], np.where(k[:49] % 3 == 0, 1.2, 0.0), np.full(49, 700.0 + a % 90))
        for a in range(0, n - 49, 49)
    ]
    for name, motions in (
        ("lines", [motion(nodes, np.zeros(n), feeds)]),
        ("half arcs", [motion(nodes, np.where(k % 2, 1.2, 0.0), feeds)]),
        ("curves of 50 nodes, a third arcs", short),
    ):
        text, took = text_of(*motions)
        lines = text.count("\n")
        print(f"{name}: {lines} lines in {took:.2f} s, {lines / took / (n / floor):.1f} times savetxt's lines a second")


def radius_rule(n: int = 1_300_000) -> None:
    """Chords of 0.01 to 100 mm, turns up to a little over a half: whole micrometres, as the text has them."""
    rng = np.random.default_rng(2)
    chord, way = 10 ** rng.uniform(-2, 2, n), rng.uniform(-math.pi, math.pi, n)
    nodes = np.zeros((n + 1, 3))
    nodes[1:, :2] = np.cumsum(np.column_stack([chord * np.cos(way), chord * np.sin(way)]), axis=0)
    nodes[:, 2] = 9.0
    turns = rng.uniform(0.01, 3.3, n) * rng.choice([-1, 1], n)
    text = Nist6556(digits=8).write(
        Program("bench", "program", 1, MILL, 8.0, (motion(nodes, turns, np.full(n, 600.0)),))
    )
    here, rows = {"X": 0, "Y": 0}, []
    for line in text.splitlines():
        words = {letter: int(number.replace(".", "")) for letter, number in re.findall(r"([XYIJ])(-?\d+\.\d+)", line)}
        if "I" in words:
            end = here | {letter: v for letter, v in words.items() if letter in here}
            rows.append((here["X"], here["Y"], end["X"], end["Y"], words["I"], words["J"]))
        here |= {letter: v for letter, v in words.items() if letter in here}
    r = np.array(rows)
    first, last = np.hypot(r[:, 4], r[:, 5]), np.hypot(*(r[:, 2:4] - r[:, 0:2] - r[:, 4:6]).T)
    worst = np.abs(first - last).max()
    whole = (r[:, 0:2] == r[:, 2:4]).all(axis=1).sum()
    print(
        f"{len(r)} blocks of arcs: radii to both ends differ by at most {worst / 1000:.6f} mm; {whole} end where they start"
    )
    if worst > 2.0 or whole:
        raise SystemExit("the radius rule of NISTIR 6556 (0.002 mm, from memory) is broken")


if __name__ == "__main__":
    speed()
    radius_rule()
