"""Bridge with breakthrough (check 12). Source: geometry.

Sheet 2 mm, breakthrough 0.4, bridge 0.6 thick and 0.8 wide, cutter 2 mm: the floor lies at -(2 + 0.4) = -2.4; the top of the
bridge at -2 + 0.6 = -1.4; a disc of 2 mm leaves 0.8 mm where its center stays 0.8/2 + 2/2 = 1.4 mm off to either side, so the
way is raised over 2.8 mm.
"""

from __future__ import annotations

import numpy as np
import pytest

import kerfwright as kw
from kerfwright.program import Motion

JOB = """
job: bracket
machine: light-router
sheet: {material: gfrp, size: [100, 80], thickness: 2, breakthrough: 0.4, board: 12, hold: screws, zero: {z: %s}}
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}
parts:
  - name: bracket
    shapes:
      - rectangle: {corner: [0, 0], size: [60, 40]}
    at: [20, 20]
operations:
  - profile: {cutter: mill, entry: toolaxis, bridges: {width: 0.8, thickness: 0.6, spacing: 60}}
"""


@pytest.mark.parametrize(("zero", "floor", "top"), [("sheet_top", -2.4, -1.4), ("board_top", -0.4, 0.6)])
def test_bridge_with_breakthrough(zero: str, floor: float, top: float) -> None:
    (program,) = kw.plan(kw.load_job("-", text=JOB % zero))
    (motion,) = [s for s in program.steps if isinstance(s, Motion)]
    z, s = motion.curve.nodes[:, 2], motion.curve.s
    assert z.min() == pytest.approx(floor)
    # up from the floor to the top of a bridge, and down from there to the floor again
    up = np.flatnonzero(np.isclose(z[:-1], floor) & np.isclose(z[1:], top)) + 1
    down = np.flatnonzero(np.isclose(z[:-1], top) & np.isclose(z[1:], floor))
    assert len(up) == len(down) == 4
    assert s[down] - s[up] == pytest.approx([2.8] * 4)
