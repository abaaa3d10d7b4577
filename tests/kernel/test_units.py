"""Quantities as a shop writes them. Factors: an inch is 25.4 mm by definition (1959); the rest is arithmetic."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfwright.units import UNITS, quantity


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("3", 3, ""),
        ("-3.5", -3.5, ""),
        (".5 mm", 0.5, "mm"),
        ("3.2 mm", 3.2, "mm"),
        ("3.2mm", 3.2, "mm"),
        ("1/8 in", 3.175, "mm"),
        ("1/4 inch", 6.35, "mm"),
        ("1 1/4 in", 31.75, "mm"),
        ("1/8", 0.125, ""),
        ("-1 1/4 in", -31.75, "mm"),
        ("-0 1/4 in", -6.35, "mm"),
        ("300.5 1/min", 300.5, "rpm"),
        ("2 cm", 20, "mm"),
        ("30 µm", 0.03, "mm"),
        ("1 ft", 304.8, "mm"),
        ("20 in/min", 508, "mm/min"),
        ("12 m/min", 12000, "mm/min"),
        ("10 mm/s", 600, "mm/min"),
        ("18000 rpm", 18000, "rpm"),
        ("300 1/s", 18000, "rpm"),
        ("3 deg", 3, "deg"),
        ("3°", 3, "deg"),
        ("1 rad", 57.29577951308232, "deg"),
        ("2 min", 120, "s"),
        ("250 ms", 0.25, "s"),
        ("0.3 kW", 300, "W"),
        ("0.5 m/s2", 500, "mm/s2"),
        ("40 %", 0.4, "1"),
        ("1e3 mm", 1000, "mm"),
    ],
)
def test_a_quantity(text, value, unit):
    found, dimension = quantity(text)
    assert (found, dimension) == (pytest.approx(value, rel=1e-12), unit)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "found '', allowed: a number and a unit, as '3.2 mm' or '1/8 in'"),
        ("mm", "found 'mm', allowed: a number and a unit, as '3.2 mm' or '1/8 in'"),
        ("three mm", "found 'three mm', allowed: a number and a unit, as '3.2 mm' or '1/8 in'"),
        ("1/0 in", "found '1/0 in': a fraction over zero"),
        ("1.5 1/4 in", "found '1.5 1/4 in', allowed: a whole number before a fraction, as '1 1/4 in'"),
        ("3 1/x", "found the unit '1/x', allowed: mm, cm, m,"),
        ("3 ells", "found the unit 'ells', allowed: mm, cm, m,"),
        ("3 MM", "found the unit 'MM', allowed: mm, cm, m,"),
        ("1,5 mm", "found the unit ',5 mm', allowed: mm, cm, m,"),
        ("nan mm", "found 'nan mm', allowed: a number and a unit, as '3.2 mm' or '1/8 in'"),
    ],
)
def test_what_is_no_quantity(text, message):
    with pytest.raises(ValueError, match=re.escape(message)) as e:
        quantity(text)
    assert str(e.value).startswith(message)


def test_each_unit_is_read_back():
    """Any finite number with any unit: 100 cases, all reach the assertion."""
    cases = []

    @given(st.floats(-1e9, 1e9).map(lambda v: round(v, 6)), st.sampled_from(sorted(UNITS)))
    def one(value: float, word: str) -> None:
        found, unit = quantity(f"{value!r} {word}")
        assert unit == UNITS[word][0]
        assert math.isclose(found / UNITS[word][1], value, rel_tol=1e-12, abs_tol=1e-300)
        cases.append(word)

    one()
    assert len(cases) >= 100
