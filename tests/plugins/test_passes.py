"""Depths of passes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfwright_plugins.passes.equal import Equal
from kerfwright_plugins.passes.single import Single


@pytest.mark.parametrize(
    ("top", "bottom", "axial_depth", "levels"),
    [
        (0.0, -2.4, 1.0, [-0.8, -1.6, -2.4]),
        (0.0, -2.4, 0.8, [-0.8, -1.6, -2.4]),
        (0.0, -2.4, 3.0, [-2.4]),
        (2.0, -0.4, 1.2, [0.8, -0.4]),
        (0.0, -0.3, 0.1, [-0.1, -0.2, -0.3]),
    ],
)
def test_equal_passes_by_hand(top: float, bottom: float, axial_depth: float, levels: list[float]) -> None:
    assert Equal()(top, bottom, axial_depth).tolist() == pytest.approx(levels)


@given(st.floats(-5, 20), st.floats(0.01, 30), st.floats(0.05, 10))
def test_equal_passes_are_equal_few_and_reach_the_bottom(top: float, depth: float, axial_depth: float) -> None:
    bottom = top - depth
    z = [top, *Equal()(top, bottom, axial_depth).tolist()]
    steps = [a - b for a, b in zip(z, z[1:], strict=False)]
    assert z[-1] == bottom
    assert max(steps) <= axial_depth + 1e-6
    assert max(steps) - min(steps) < 1e-9
    assert len(steps) <= max(1, math.ceil(depth / axial_depth))


def test_a_single_pass_takes_all_at_once() -> None:
    assert Single()(0.0, -9.5, 0.1).tolist() == [-9.5]
