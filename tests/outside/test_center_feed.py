"""Feed of the cutter's center inside a hole, so that the edge keeps the feed: vf (D - DC) / D. Source: geometry."""

from __future__ import annotations

import numpy as np
import pytest

import kerfwright as kw

JOB = """\
job: bore
machine: stiff-router
sheet: {material: acrylic, size: [60, 60], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters: {mill: {form: end_mill, flutes: up, diameter: CUTTER, teeth: 2, flute_length: 8}}
parts: [{name: ring, at: [10, 10], shapes: [{circle: {center: [0, 0], diameter: 30}}, {circle: {center: [0, 0], diameter: HOLE}}]}]
operations:
  - profile: {cutter: mill, select: inner, spindle: 18000, feed: FEED, plunge_feed: 100, axial_depth: 3, lead: none}
ignore: outer
"""


@pytest.mark.parametrize(
    ("feed", "hole", "cutter", "center"),
    [
        (600, 8, 3, 375),  # 600 x (8 - 3) / 8
        (800, 10, 2, 640),  # 800 x 8 / 10
        (500, 20, 3, 425),  # 500 x 17 / 20
    ],
)
def test_center_feed_inside_a_hole(feed, hole, cutter, center):
    registry = kw.Registry.load()
    text = JOB.replace("CUTTER", str(cutter)).replace("HOLE", str(hole)).replace("FEED", str(feed))
    result = kw.make(kw.load_job("-", registry, text=text), registry)
    assert result.ok, result.findings
    moves = result.programs[0].moves
    c = moves.curve
    # whole laps on the wall: arcs of the hole's radius less the cutter's, level, at the deepest floor
    level = np.abs(np.diff(c.nodes[:, 2])) < 1e-9
    wall = (np.abs(np.abs(c.radii) - (hole - cutter) / 2) < 0.005) & level & (np.abs(c.nodes[1:, 2] + 2.3) < 1e-9)
    assert c.lengths[wall].sum() > 0.9 * np.pi * (hole - cutter)
    assert np.allclose(moves.feeds[wall], center, atol=1)
