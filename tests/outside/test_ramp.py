"""Length of a ramp, h / tan(alpha): geometry."""

from __future__ import annotations

import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright_plugins.entry.ramp import Ramp

ROOM = Room(shapely.box(-100, -100, 100, 100))


@pytest.mark.parametrize(
    ("depth", "angle", "length"),
    [
        (2.4, 4.0, 34.32),  # 2.4 / tan 4 degrees = 2.4 / 0.069927
        (1.0, 45.0, 1.0),
        (1.5, 3.0, 28.62),  # 1.5 / 0.052408
    ],
)
@pytest.mark.parametrize(
    "cut",
    [
        Curve.line([[0, 0], [0, 40], [60, 40], [60, 0], [0, 0]]),
        Curve.circle(0, 0, 3, turn=-6.283185307179586),
        Curve.line([[0, 0], [50, 0]]),
        Curve.line([[0, 0], [5, 0]]),
    ],
    ids=["closed", "small circle", "open", "short"],
)
def test_a_way_down_is_as_long_as_its_slope_asks(cut: Curve, depth: float, angle: float, length: float) -> None:
    way, _ = Ramp(angle=angle)(cut, 0.0, -depth, ROOM)
    assert way.length == pytest.approx(length, abs=0.005)
    assert way.nodes[[0, -1], 2].tolist() == [0, -depth]
