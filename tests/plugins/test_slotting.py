"""Kerfs."""

from __future__ import annotations

import shapely

from kerfwright.curve import Curve
from kerfwright.room import Room
from kerfwright_plugins.slotting.full import Full


def test_full_is_the_loop_itself() -> None:
    loop = Curve.circle(0, 0, 5)
    got = Full()(loop, Room(shapely.box(-9, -9, 9, 9)), 1.0, 0.8)
    assert got.nodes.tolist() == loop.nodes.tolist()
    assert got.turns.tolist() == loop.turns.tolist()
