"""A rectangle cut into 20 irregular pieces, packed again: the yield, against the pieces' own area, and the time.

Run: python tests/bench/nesting.py [SECONDS]     SECONDS: what the library may take, 90
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import shapely

from kerfwright.packing import Bed
from kerfwright_plugins.layout.nest import CellNest
from kerfwright_plugins.layout.search import SearchedNest

sys.path.insert(0, str(Path(__file__).parents[1] / "plugins"))
from test_layout_packing import RIGHT, SHEET, cut, laid


def main() -> None:
    """A line for each cut and layout; an error where a yield is too low."""
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 90
    low = []
    for seed in range(3):
        pieces = cut(seed, spread=0.2)
        bed = Bed((shapely.box(0, 0, 900, SHEET[1]),), 0.5, RIGHT)
        for layout, least in ((CellNest(), 0.70), (SearchedNest(effort=seconds), 0.85)):
            begun = time.perf_counter()
            areas = laid(pieces, layout.packed(pieces, [1] * 20, bed))
            took = time.perf_counter() - begun
            share = sum(a.area for a in areas) / (max(a.bounds[2] for a in areas) * SHEET[1])
            print(f"cut {seed}  {layout.name:<7} yield {share:.3f}  (least {least:.2f})  {took:6.1f} s", flush=True)
            low += [f"cut {seed}, {layout.name}"] if share < least else []
    if low:
        raise SystemExit("too low: " + "; ".join(low))


if __name__ == "__main__":
    main()
