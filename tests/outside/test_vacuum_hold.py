"""What a vacuum holds down. Source: statics, force = pressure times area."""

from __future__ import annotations

import pytest

from kerfwright_plugins.checks.hold import suction


@pytest.mark.parametrize(
    ("area_cm2", "kpa", "newton"),
    [
        (24.0, 60.0, 144.0),  # 0.0024 m2 x 60,000 N/m2
        (1.0, 101.325, 10.1325),  # a square centimetre under a whole atmosphere
        (0.0, 60.0, 0.0),
    ],
)
def test_suction(area_cm2: float, kpa: float, newton: float) -> None:
    assert suction(area_cm2 * 100, kpa) == pytest.approx(newton, rel=1e-12)
