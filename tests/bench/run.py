"""Benchmarks: each prints a ratio against what the work cannot do without, measured in the same run.

Run: python tests/bench/run.py
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import shapely

import kerfwright as kw
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.proof import prove, reading_of

PLATE = """
job: plate
machine: light-router
sheet: {material: cfrp, size: [220, 160], thickness: 2, breakthrough: 0.5, board: 12, hold: screws}
cutters:
  mill: {form: end_mill, flutes: burr, diameter: 1.8, teeth: 6, flute_length: 8}
parts:
  - name: plate
    at: [20, 20]
    shapes:
      - rectangle: {corner: [0, 0], size: [180, 120], radius: 6}
HOLES
operations:
  - profile: {cutter: mill, select: inner}
  - profile: {cutter: mill, select: outer, bridges: {width: 0.8, thickness: 0.5, spacing: 60}}
"""


def plate() -> str:
    """A plate of 180 x 120 mm with 60 holes of 3.2 mm."""
    holes = [
        f"      - circle: {{center: [{9 + 18 * i}, {10 + 20 * j}], diameter: 3.2}}" for j in range(6) for i in range(10)
    ]
    return PLATE.replace("HOLES", "\n".join(holes))


def best(work: Callable[[], object], times: int = 5) -> float:
    """Least time of several runs, s."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return min(took)


def tell(what: str, mine: float, floor: float, against: str) -> None:
    print(f"{what:<44} {mine * 1000:9.1f} ms   {against:<46} {floor * 1000:9.1f} ms   ratio {mine / floor:6.2f}")


def shell() -> None:
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "plate.yaml"
        job.write_text(plate())
        run = [sys.executable, "-m", "kerfwright", "make", str(job), "--out", folder]
        libraries = [sys.executable, "-c", "import attrs, click, numpy, pluggy, shapely, yaml"]
        mine = best(lambda: subprocess.run(run, check=True, capture_output=True))
        floor = best(lambda: subprocess.run(libraries, check=True, capture_output=True))
    tell("make of the 60-hole plate from the shell", mine, floor, "import of its libraries")


def planning_and_proof() -> None:
    registry = kw.Registry.load()
    job = kw.load_job("plate.yaml", registry, text=plate())
    (setup,) = place(job, registry)
    loops = [one.curve for one in setup.pieces[0].loops]
    outlines = np.array([c.polygon() for c in loops])
    distance = np.array([0.9 if one.depth == 0 else -0.9 for one in setup.pieces[0].loops])
    floor = best(lambda: shapely.buffer(outlines, distance, quad_segs=32))
    tell("planning", best(lambda: plan_setup(setup, registry)), floor, "one bare shapely.buffer of all outlines")

    programs = plan_setup(setup, registry)
    texts = [(p.name, p.kind, kw.write(p, "nist6556", registry)) for p in programs]
    readings = [reading_of(name, kind, text, "nist6556", job, registry) for name, kind, text in texts]
    strands = []
    for reading in readings:
        assert reading.moves is not None
        c = reading.moves.curve
        low = np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2]) < 0
        for k in np.flatnonzero(low & (np.nan_to_num(c.lengths) > 0)).tolist():
            strands.append(type(c)(c.nodes[k : k + 2], c.turns[k : k + 1]).path())
    lines = np.array(strands)
    floor = best(lambda: shapely.union_all(shapely.buffer(lines, 0.9, quad_segs=16)))
    tell(
        "proof",
        best(lambda: prove(setup, readings, registry)),
        floor,
        f"bare buffers and union of its {len(lines)} cuts",
    )
    text = texts[0][2]
    tell(
        "reading back",
        best(lambda: kw.read(text, "nist6556", registry)),
        best(lambda: text.encode().split()),
        "splitting the text at white space",
    )


if __name__ == "__main__":
    shell()
    planning_and_proof()
