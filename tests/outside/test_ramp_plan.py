"""Length of a ramp in a planned program (check 7). Source: geometry, h / tan(angle); 2.4 mm at 4 degrees: 34.32 mm."""

from __future__ import annotations

import numpy as np
import pytest

import kerfwright as kw
from kerfwright.program import Motion

JOB = """
job: bracket
machine: light-router
sheet: {material: gfrp, size: [100, 80], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}
parts:
  - name: bracket
    shapes:
      - rectangle: {corner: [0, 0], size: [40, 30]}
    at: [20, 20]
operations:
  - profile: {cutter: mill, entry: {ramp: {angle: 4}}, passes: %s, axial_depth: 0.8}
"""


@pytest.mark.parametrize("passes", ["single", "equal"])
def test_ramp_length(passes: str) -> None:
    """In one pass or in three, the way down is as long: each pass goes on where the last one ended."""
    (program,) = kw.plan(kw.load_job("-", text=JOB % passes))
    (motion,) = [s for s in program.steps if isinstance(s, Motion)]
    c = motion.curve
    falls = (np.diff(c.nodes[:, 2]) < 0) & (c.nodes[:-1, 2] <= 0)
    assert c.lengths[falls].sum() == pytest.approx(34.32, abs=0.005)
    assert (np.diff(c.nodes[:, 2])[falls] / c.lengths[falls]) == pytest.approx(-np.tan(np.radians(4)))
