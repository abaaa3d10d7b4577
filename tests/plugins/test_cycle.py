"""Strokes of a drill."""

from __future__ import annotations

import pytest

from kerfwright_plugins.cycle.straight import Straight


@pytest.mark.parametrize(("top", "bottom"), [(2.0, -2.9), (14.0, -0.4)])
def test_straight_is_one_stroke_down_and_up_by_rapid(top: float, bottom: float) -> None:
    """Rows: down to, up to, up by rapid (1), dwell."""
    assert Straight()(top, bottom).tolist() == [[bottom, top, 1.0, 0.0]]
