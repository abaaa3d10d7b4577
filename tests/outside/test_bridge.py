"""A bridge under a breakthrough: geometry. Sheet 2, breakthrough 0.4, thickness 0.6, width 0.8, DC 2 (mm)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import kerfwright as kw
from kerfwright.program import Motion

JOB = """
job: sensor-foot
units: mm
machine: light-router
sheet:
  material: gfrp
  size: [100, 80]
  thickness: 2
  breakthrough: 0.4
  board: 10
  hold: screws
  zero: {{x: left, y: front, z: {zero}}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
parts:
  - {{name: foot, shapes: [{{rectangle: {{corner: [0, 0], size: [60, 40]}}}}], at: [20, 20]}}
operations:
  - profile: {{cutter: mill, passes: single, entry: toolaxis, bridges: {{width: 0.8, thickness: 0.6, spacing: 40}}}}
"""


@pytest.mark.parametrize(
    ("zero", "floor", "top"),
    [
        ("sheet_top", -2.4, -1.4),  # -(2 + 0.4), and -2 + 0.6
        ("board_top", -0.4, 0.6),
    ],
)
def test_the_way_is_raised_over_width_and_cutter(tmp_path: Path, zero: str, floor: float, top: float) -> None:
    """Six bridges on 206 mm; each stretch at the top is 0.8 + 2 = 2.8 mm long, straight, and square at both ends."""
    file = tmp_path / "foot.yaml"
    file.write_text(JOB.format(zero=zero))
    (program,) = (p for p in kw.plan(kw.load_job(file)) if p.kind == "program")
    (motion,) = (s for s in program.steps if isinstance(s, Motion))
    z, c = motion.curve.nodes[:, 2], motion.curve
    assert z.min() == pytest.approx(floor)
    level = (np.abs(z[:-1] - top) < 1e-9) & (np.abs(z[1:] - top) < 1e-9) & (c.lengths > 1e-9)
    assert c.lengths[level] == pytest.approx(np.full(6, 2.8), abs=1e-6)
    assert not c.turns[level].any()
    for k in np.flatnonzero(level).tolist():
        assert z[[k - 1, k + 2]].tolist() == pytest.approx([floor, floor])
        assert c.lengths[[k - 1, k + 1]].tolist() == [0, 0]
    assert set(np.round(z[z < top + 1e-6], 9).tolist()) == {round(floor, 9), round(top, 9)}
