"""A million moves written and read back, against `numpy.savetxt` and `numpy.loadtxt` on the same numbers, in one run.

Curves of 50 nodes, a third arcs, feeds changing, all axes moving. Run: python tests/bench/reading.py
"""

from __future__ import annotations

import io
import time

import numpy as np

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.program import Motion, Program
from kerfwright.registry import Registry
from kerfwright.text import reader_of

MILL = Cutter(name="mill", form="end_mill", diameter=2.0, flute_length=8)
DIALECTS = ("nist6556", "iso6983", "eia274", "iso4343")


def program(n: int) -> Program:
    """Arcs stay at their height, so that every language has them as arcs; lines move all axes."""
    rng = np.random.default_rng(1)
    nodes = np.cumsum(rng.normal(0, 0.4, (n + 1, 3)), axis=0)
    nodes[:, :2] = np.abs(nodes[:, :2]) % 900 - 100
    nodes[:, 2] = -np.abs(nodes[:, 2]) % 5
    nodes[0, 2] = 9
    arc = np.arange(n) % 3 == 2
    nodes[1:, 2][arc] = nodes[:-1, 2][arc]
    motions = [
        Motion(
            Curve(nodes[a : a + 50], np.where(arc[a : a + 49], 1.2, 0.0)), np.full(49, 2), np.full(49, 700.0 + a % 90)
        )
        for a in range(0, n - 49, 49)
    ]
    return Program("bench", "program", 1, MILL, 8.0, tuple(motions))


def main(n: int = 1_000_000) -> None:
    """Prints two ratios a dialect."""
    p, registry = program(n), Registry.load()
    table = np.concatenate([m.curve.nodes[1:] for m in p.steps if isinstance(m, Motion)])
    begun = time.perf_counter()
    file = io.BytesIO()
    np.savetxt(file, table, fmt="%.3f")
    saved = time.perf_counter() - begun
    file.seek(0)
    begun = time.perf_counter()
    np.loadtxt(file)
    loaded = time.perf_counter() - begun
    print(f"{len(table)} rows of X, Y, Z: savetxt {saved:.2f} s, loadtxt {loaded:.2f} s")
    for name in DIALECTS:
        dialect = registry.dialects[name](
            **{"sequence": False} if name == "eia274" else {}
        )  # five digits for its numbers
        begun = time.perf_counter()
        text = dialect.write(p)
        wrote = time.perf_counter() - begun
        begun = time.perf_counter()
        moves = reader_of(dialect, registry).read(text)
        took = time.perf_counter() - begun
        assert len(moves.curve) >= 0.99 * len(table)
        lines = text.count("\n")
        print(
            f"{name}: {lines} lines; written in {wrote:.2f} s, {lines / wrote * saved / len(table):.1f} times savetxt's lines a "
            f"second; read in {took:.2f} s, {loaded / took:.2f} times as fast as loadtxt"
        )


if __name__ == "__main__":
    main()
