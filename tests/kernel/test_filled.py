"""Copies of a part share one flattening, each in its own place."""

from __future__ import annotations

from typing import Any

import pytest

from kerfwright.placing.filled import shapes_of


def test_every_copy_in_its_place(shop: Any) -> None:
    parts = (
        shop.plate(at=((20.0, 20.0), (120.0, 25.0))),
        shop.plate(name="turned", at=((20.0, 100.0), (100.0, 110.0)), turn=90.0),
    )
    pieces = shop.place(shop.job(parts=parts)).pieces
    shapes = shapes_of(pieces)
    # a hole at (10, 5), or at (-5, 10) of an extent that begins at (-40, 0)
    centers = [(30, 25), (130, 30), (55, 110), (135, 120)]
    corners = [(20, 20, 80, 60), (120, 25, 180, 65), (20, 100, 60, 160), (100, 110, 140, 170)]
    assert [s[0].bounds for s in shapes] == [pytest.approx(b, abs=1e-9) for b in corners]
    assert [(s[1].centroid.x, s[1].centroid.y) for s in shapes] == [pytest.approx(c, abs=1e-6) for c in centers]
    assert all(s[1].area == pytest.approx(3.14159265 * 0.64, rel=2e-3) for s in shapes)
