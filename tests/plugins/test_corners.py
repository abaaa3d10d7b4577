"""Inside corners."""

from __future__ import annotations

from kerfwright.curve import Curve
from kerfwright_plugins.corners.none import NoCorners


def test_none_cuts_nothing_beyond_a_wall() -> None:
    square = Curve.line([[0, 0], [9, 0], [9, 9], [0, 9], [0, 0]])
    assert NoCorners()(square, 1.0).shape == (0, 4)
