"""Pitch of a helix in a hole, pi (D - DC) tan(alpha) a turn: geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright_plugins.entry.ramp import Ramp


@pytest.mark.parametrize(
    ("hole", "cutter", "angle", "pitch"),
    [
        (8.0, 3.0, 2.5, 0.6858),  # pi 5 tan 2.5 degrees = 15.708 x 0.043661
        (5.0, 2.0, 4.0, 0.6590),  # pi 3 tan 4 degrees = 9.4248 x 0.069927
    ],
)
def test_a_ramp_around_a_hole_is_a_helix(hole: float, cutter: float, angle: float, pitch: float) -> None:
    """Its cut is the center's circle of D - DC: each turn falls by the pitch, and every segment by the angle."""
    circle = Curve.circle(20, 10, (hole - cutter) / 2)
    way, _ = Ramp(angle=angle)(circle, 0.0, -3.0, Room(shapely.Point(20, 10).buffer(hole)))
    at_start = np.hypot(*(way.nodes[:, :2] - circle.start[:2]).T) < 1e-9
    laps = way.nodes[at_start, 2]
    assert len(laps) == 1 + int(3.0 / pitch)
    assert -np.diff(laps) == pytest.approx(np.full(len(laps) - 1, pitch), abs=5e-5)
    fall = np.arcsin(-np.diff(way.nodes[:, 2]) / way.lengths_3d)
    assert fall == pytest.approx(np.full(len(way), math.radians(angle)))
