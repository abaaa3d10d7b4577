"""Formulas that every machining handbook has, against values worked out from them (from memory, no page at hand)."""

from __future__ import annotations

import pytest

from kerfwright.cutter import Cutter
from kerfwright.rates import cutting_speed, feed_per_tooth


@pytest.mark.parametrize(
    ("diameter", "spindle", "m_per_min"),
    [
        (3.175, 18000, 179.5),  # vc = pi D n / 1000: handbooks, from memory
        (2, 22000, 138.2),
    ],
)
def test_cutting_speed(diameter, spindle, m_per_min):
    assert cutting_speed(diameter, spindle) == pytest.approx(m_per_min, abs=0.05)


def test_feed_per_tooth():
    """fz = vf / (n z): handbooks, from memory. 620 mm/min, 22,000 rpm, 2 teeth: 0.01409 mm."""
    assert feed_per_tooth(620, 22000, 2) == pytest.approx(0.01409, abs=0.000005)


@pytest.mark.parametrize(
    ("diameter", "angle", "length"),
    [
        (3, 118, 0.901),  # (D/2) / tan(angle/2): geometry
        (1.6, 118, 0.481),
        (1.5, 130, 0.350),
    ],
)
def test_length_of_a_drill_s_point(diameter, angle, length):
    drill = Cutter(form="drill", diameter=diameter, point_angle=angle, flute_length=20)
    assert drill.point_length == pytest.approx(length, abs=0.0005)


def test_length_of_a_drill_s_point_by_the_rule():
    """0.3 D for 118 degrees: Machinery's Handbook, from memory; a rule of two digits."""
    drill = Cutter(form="drill", diameter=10, point_angle=118, flute_length=60)
    assert drill.point_length == pytest.approx(0.3 * 10, abs=0.05)
