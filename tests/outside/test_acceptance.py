"""Acceptance with uncertainty. Source: ISO 14253-1, decision rules, from memory: the supplier or customer who would prove
conformity narrows the limits by the expanded uncertainty, who would prove the contrary widens them.
"""

from __future__ import annotations

import pytest

from kerfwright.adjusting import accepted

VALUES = {
    # limits ±0.1 mm, U = 0.03 mm: accepted within ±0.07; +0.08 not proven (ISO 14253-1)
    0.0: "conforming", 0.07: "conforming", -0.07: "conforming",
    0.0701: "not proven", 0.08: "not proven", -0.08: "not proven", 0.1: "not proven", 0.13: "not proven",
    0.1301: "not conforming", -0.1301: "not conforming", 0.5: "not conforming",
}  # fmt: skip


@pytest.mark.parametrize(("value", "verdict"), VALUES.items())
def test_a_size_of_plus_minus_a_tenth(value: float, verdict: str) -> None:
    assert accepted(value, -0.1, 0.1, 0.03) == verdict


def test_limits_on_one_side_of_nominal() -> None:
    """Ø5 H7, +0.012/0 (ISO 286-2), with U = 0.004 mm: conforming from +0.004 to +0.008."""
    told = [accepted(v, 0.0, 0.012, 0.004) for v in (0.003, 0.004, 0.008, 0.009, 0.017, -0.005)]
    assert told == [
        "not proven", "conforming", "conforming", "not proven", "not conforming", "not conforming",
    ]  # fmt: skip


def test_nothing_is_proven_to_conform_by_a_measurement_as_wide_as_the_tolerance() -> None:
    assert {accepted(v / 100, -0.1, 0.1, 0.11) for v in range(-20, 21)} == {"not proven"}
    assert accepted(0.0, -0.1, 0.1, None) == "not proven"
