"""The proof of long programs against the bare sweeps of their moves: time, memory and growth, each in a fresh process.

Run: python tests/bench/proof.py [KIND ...] [--moves N ...]

The floor is what any sweep needs: `shapely.buffer` of every move that cuts, at 64 vertices a circle, and one `union_all` of
them: of every move (`cuts`), and, stricter, of each way once, however many passes followed it (`ways`). Proof and floor are timed in the same process, the floor last; the memory is the most that process held until then,
libraries and the reading of the text included.
"""

from __future__ import annotations

import argparse
import json
import math
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import shapely

import kerfwright as kw
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.proof import Reading, prove, reading_of

RATIO, GROWTH, MEMORY = 3.0, 13.0, 1024.0
"""What is allowed: times the floor, from 10,000 to 100,000 moves, MB."""


def job(
    size: float, shapes: list[str], operations: str, dialect: str, places: str = "[20, 20]", hold: str = "screws"
) -> str:
    """A job of one part."""
    return "\n".join(
        [
            "job: long",
            "machine: {base: light-router, travel: [9000, 9000, 80]}",
            f"sheet: {{material: cfrp, size: [{size:.0f}, {size:.0f}], thickness: 2, breakthrough: 0.5, board: 12, hold: {hold}}}",
            "cutters:",
            "  mill: {form: end_mill, flutes: burr, diameter: 1.8, teeth: 6, flute_length: 8}",
            "parts:",
            "  - name: plate",
            f"    at: {places}",
            "    shapes:",
            *(f"      - {one}" for one in shapes),
            "operations:",
            operations,
            f"output: {{dialect: {dialect}}}",
        ]
    )


PROFILES = """\
  - profile: {cutter: mill, select: inner, axial_depth: 0.5}
  - profile: {cutter: mill, select: outer, axial_depth: 0.5, bridges: {width: 0.8, thickness: 0.5, spacing: 60}}"""


def plates(n: int) -> str:
    """n plates of 180 x 120 mm with 60 holes of 3.2 mm, in several passes: each plate looks like every other."""
    wide = math.ceil(math.sqrt(n))
    at = [[20 + 190 * (k % wide), 20 + 190 * (k // wide)] for k in range(n)]
    holes = [f"circle: {{center: [{9 + 18 * i}, {10 + 20 * j}], diameter: 3.2}}" for j in range(6) for i in range(10)]
    outline = "rectangle: {corner: [0, 0], size: [180, 120], radius: 6}"
    return job(40 + 190 * wide, [outline, *holes], PROFILES, "nist6556", str(at))


def pocket(n: int) -> str:
    """One pocket of n x n cells with an island in each, cleared at a small advance."""
    side = 14.0 * n
    rng = np.random.default_rng(1)
    at = np.stack(np.meshgrid(np.arange(n), np.arange(n)), -1).reshape(-1, 2) * 14 + 7 + rng.uniform(-1, 1, (n * n, 2))
    islands = [
        f"circle: {{center: [{x + 8:.3f}, {y + 8:.3f}], diameter: {d:.3f}, layer: recess}}"
        for (x, y), d in zip(at, rng.uniform(4, 7, n * n))
    ]
    outline = f"rectangle: {{corner: [0, 0], size: [{side + 16:.0f}, {side + 16:.0f}], radius: 6, layer: edge}}"
    room = f"rectangle: {{corner: [8, 8], size: [{side:.0f}, {side:.0f}], radius: 3, layer: recess}}"
    clear = "  - pocket: {cutter: mill, select: {layer: recess}, depth: 0.8, axial_depth: 0.8, radial_depth: 0.15}\n"
    out = "  - profile: {cutter: mill, select: {layer: edge}, axial_depth: 0.5, bridges: {width: 0.8, thickness: 0.5, spacing: 60}}"
    return job(side + 60, [outline, room, *islands], clear + out, "nist6556")


def wave(x: float, y: float, r: float, rng: np.random.Generator, points: int = 48) -> str:
    """A closed free-form line around a place, as a polygon: no two alike."""
    a = np.linspace(0, 2 * np.pi, points, endpoint=False)
    away = r * (1 + sum(rng.uniform(0, 0.08) * np.cos(k * a + rng.uniform(0, 6)) for k in (2, 3, 5)))
    p = np.column_stack([x + away * np.cos(a), y + away * np.sin(a)])
    return "polygon: [" + ", ".join(f"[{u:.4f}, {v:.4f}]" for u, v in p) + "]"


def lines(n: int) -> str:
    """n x n free-form openings in one plate, all of it in lines."""
    rng = np.random.default_rng(2)
    some = [wave(20 + 18 * i, 20 + 18 * j, rng.uniform(4, 6.5), rng, 120) for j in range(n) for i in range(n)]
    side = 18 * n + 22
    return job(
        side + 40,
        [f"rectangle: {{corner: [0, 0], size: [{side}, {side}]}}", *some],
        PROFILES,
        "nist6556-lines",
        hold="tape",
    )


def unlike(n: int) -> str:
    """n x n openings, no two alike: circles, slots, rounded rectangles and polygons, of sizes by chance."""
    rng = np.random.default_rng(3)
    some = []
    for k in range(n * n):
        x, y, u, t = 14 + 13 * (k % n), 14 + 13 * (k // n), rng.uniform(3, 6), rng.uniform(0, 360)
        c, s = math.cos(math.radians(t)), math.sin(math.radians(t))
        some.append(
            (
                f"circle: {{center: [{x}, {y}], diameter: {u + 2:.4f}}}",
                f"slot: {{from: [{x - c * u / 2:.4f}, {y - s * u / 2:.4f}], to: [{x + c * u / 2:.4f}, "
                f"{y + s * u / 2:.4f}], width: {rng.uniform(2.2, 4):.4f}}}",
                f"rectangle: {{corner: [{x - u / 2:.4f}, {y - u / 2:.4f}], size: [{u:.4f}, {rng.uniform(3, u + 1):.4f}], "
                "radius: 1}",
                wave(x, y, u / 1.5, rng, 24),
            )[k % 4]
        )
    side = 13 * n + 16
    outline = f"rectangle: {{corner: [0, 0], size: [{side}, {side}], radius: 6}}"
    return job(side + 40, [outline, *some], PROFILES, "nist6556", hold="tape")


def bridged(n: int) -> str:
    """n x n windows, no two alike, whose slugs are held by bridges."""
    rng = np.random.default_rng(4)
    some = [
        f"rectangle: {{corner: [{10 + 32 * (k % n)}, {10 + 32 * (k // n)}], size: [{rng.uniform(18, 26):.4f}, "
        f"{rng.uniform(18, 26):.4f}], radius: {rng.uniform(1.2, 3):.4f}}}"
        for k in range(n * n)
    ]
    side = 32 * n + 12
    outline = f"rectangle: {{corner: [0, 0], size: [{side}, {side}], radius: 6}}"
    held = PROFILES.replace("select: inner,", "select: inner, bridges: {width: 0.8, thickness: 0.5, spacing: 30},")
    return job(side + 40, [outline, *some], held, "nist6556")


KINDS: dict[str, Callable[[int], str]] = {
    "plates": plates,
    "pocket": pocket,
    "lines": lines,
    "unlike": unlike,
    "bridged": bridged,
}
SIZES = {
    "plates": {10_000: 4, 100_000: 40},
    "pocket": {10_000: 9, 100_000: 28},
    "lines": {10_000: 3, 100_000: 10},
    "unlike": {10_000: 9, 100_000: 28},
    "bridged": {10_000: 11, 100_000: 34},
}
"""How large each kind must be to have about so many moves."""


def written(text: str, folder: Path) -> None:
    """Plan a job and write its programs into a folder."""
    registry = kw.Registry.load()
    one = kw.load_job("long.yaml", registry, text=text)
    (setup,) = place(one, registry)
    (folder / "long.yaml").write_text(text)
    for k, program in enumerate(plan_setup(setup, registry)):
        (folder / f"{k}.program").write_text(kw.write(program, one.dialect, registry))


def pieces_of(reading: Reading, top: float) -> Any:
    """Every move of a program that cuts, as a line of its own within 0.0005 mm."""
    assert reading.moves is not None
    c = reading.moves.curve
    low = (np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2]) < top) & (np.nan_to_num(c.lengths) > 0)
    points, segment = c.flat(0.0005)
    edge = np.flatnonzero(low[segment])
    opens = np.append(True, np.diff(segment[edge]) > 0)
    owner = np.cumsum(opens) - 1
    at, of = np.concatenate([edge[opens], edge + 1]), np.concatenate([owner[opens], owner])
    order = np.lexsort((at, of))
    return shapely.linestrings(points[at[order], :2], indices=of[order])


def swept(pieces: Any, radius: float) -> float:
    """Seconds for their bare sweeps and union."""
    begun = time.perf_counter()
    shapely.union_all(shapely.buffer(pieces, radius, quad_segs=16))
    return time.perf_counter() - begun


def once(pieces: Any) -> Any:
    """Each way once, however many passes followed it, in whichever direction."""
    keys = shapely.to_wkb(shapely.normalize(shapely.set_precision(pieces, 1e-4, mode="pointwise")))
    return pieces[np.unique(keys, return_index=True)[1]]


def peak() -> float:
    """Most memory that this process held, MB: not what `resource` says, which counts the process it was started from."""
    told = Path("/proc/self/status").read_text()
    return float(told.split("VmHWM:")[1].split()[0]) / 1024


def proved(folder: Path) -> None:
    """Read and prove the programs of a folder; print what it took as JSON."""
    registry = kw.Registry.load()
    one = kw.load_job(folder / "long.yaml", registry)
    (setup,) = place(one, registry)
    files = sorted(folder.glob("*.program"), key=lambda f: int(f.stem))
    begun = time.perf_counter()
    readings = [reading_of(f.name, "program", f.read_text(), one.dialect, one, registry) for f in files]
    reading = time.perf_counter() - begun
    begun = time.perf_counter()
    proof = prove(setup, readings, registry)
    took = time.perf_counter() - begun
    memory = peak()
    radius = next(iter(one.cutters.values())).radius
    pieces = np.concatenate([pieces_of(r, setup.heights.highest) for r in readings])
    few = once(pieces)
    told = {
        "moves": sum(len(r.moves.curve) for r in readings if r.moves), "cuts": len(pieces), "ways": len(few),
        "reading": reading, "proof": took, "memory": memory,
        "floor": swept(pieces, radius), "least": swept(few, radius),
        "errors": [f.message for f in proof.findings if f.severity == "error" and f.check != "walk_round"],
    }  # fmt: skip
    print(json.dumps(told))


def measured(kind: str, moves: int) -> dict[str, Any]:
    """One kind and size, planned in this process, proved in a fresh one; a line is printed."""
    with tempfile.TemporaryDirectory() as name:
        written(KINDS[kind](SIZES[kind].get(moves, moves)), Path(name))
        out = subprocess.run([sys.executable, __file__, "--prove", name], check=True, capture_output=True, text=True)
    m: dict[str, Any] = json.loads(out.stdout)
    print(
        f"{kind:<8} {m['moves']:>7} moves  read {m['reading']:5.2f} s  proof {m['proof']:6.2f} s  memory {m['memory']:5.0f} MB"
        f"  floor of {m['cuts']:>6} cuts {m['floor']:6.2f} s, ratio {m['proof'] / m['floor']:5.2f}"
        f"  of {m['ways']:>6} ways {m['least']:6.2f} s, ratio {m['proof'] / m['least']:5.2f}"
        f"  errors: {'; '.join(m['errors'][:2]) or 'none'}",
        flush=True,
    )
    return m


def main() -> None:
    """All kinds at 10,000 and 100,000 moves, or those that were asked for."""
    parser = argparse.ArgumentParser()
    parser.add_argument("kinds", nargs="*", default=list(KINDS))
    parser.add_argument("--moves", nargs="*", type=int, default=[10_000, 100_000])
    parser.add_argument("--prove", type=Path)
    said = parser.parse_args()
    if said.prove:
        proved(said.prove)
        return
    over = []
    for kind in said.kinds:
        runs = [measured(kind, n) for n in said.moves]
        over += [f"{kind}: memory" for m in runs if m["memory"] > MEMORY]
        if runs[-1]["moves"] > 80_000 and runs[-1]["proof"] > RATIO * runs[-1]["floor"]:
            over.append(f"{kind}: time")
        if len(runs) > 1:
            more, longer = runs[-1]["moves"] / runs[0]["moves"], runs[-1]["proof"] / runs[0]["proof"]
            growth = longer ** (1 / math.log10(more))
            print(f"{kind:<8} {longer:.1f} times as long for {more:.1f} times the moves: {growth:.1f}-fold for tenfold")
            over += [f"{kind}: growth"] if growth > GROWTH else []
    if over:
        raise SystemExit("over the limits: " + ", ".join(over))


if __name__ == "__main__":
    main()
