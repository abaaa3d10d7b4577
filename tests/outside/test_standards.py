"""Limits of sizes: ISO 2768-1, ISO 286-1 and -2, ISO 273. Values from memory, without the pages at hand."""

from __future__ import annotations

import math
import re

import pytest

from kerfwright.standards import clearance_hole, general, hole_limits, standard_tolerance


@pytest.mark.parametrize(
    ("grade", "size", "limit"),
    [
        ("m", 25, 0.2),
        ("m", 100, 0.3),
        ("m", 200, 0.5),
        ("f", 25, 0.1),
        ("f", 100, 0.15),
        ("f", 200, 0.2),
        ("c", 3, 0.2),
        ("v", 4, 0.5),
    ],
)
def test_general_tolerances(grade, size, limit):
    """ISO 2768-1, table 1."""
    assert general(size, grade) == limit


@pytest.mark.parametrize(
    ("size", "grade", "upper"), [(5, 7, 0.012), (5, 12, 0.120), (6, 7, 0.012), (6.01, 7, 0.015), (100, 7, 0.035)]
)
def test_limits_of_holes(size, grade, upper):
    """ISO 286-2: H holes begin at the nominal size."""
    assert hole_limits(size, grade) == (0.0, upper)


RANGES = [(3, 6), (6, 10), (10, 18), (18, 30), (30, 50), (50, 80), (80, 120), (120, 180), (180, 250)]
FACTORS = {6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160}


@pytest.mark.parametrize("grade", FACTORS)
@pytest.mark.parametrize(("low", "high"), RANGES)
def test_the_table_is_its_formula(low, high, grade):
    """ISO 286-1: IT = k (0.45 cbrt(D) + 0.001 D) um with D the geometric mean of the range, then rounded; rounding moves it by
    less than 10 % (the coarse steps of large values).
    """
    d = math.sqrt(low * high)
    formula = FACTORS[grade] * (0.45 * d ** (1 / 3) + 0.001 * d) / 1000
    assert standard_tolerance(high, grade) == pytest.approx(formula, rel=0.1)


@pytest.mark.parametrize(
    ("thread", "holes"), [("M3", (3.2, 3.4, 3.6)), ("M4", (4.3, 4.5, 4.8)), ("M5", (5.3, 5.5, 5.8))]
)
def test_clearance_holes(thread, holes):
    """ISO 273: fine, medium, coarse."""
    assert tuple(clearance_hole(thread, s) for s in ("fine", "medium", "coarse")) == holes


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: general(0.2, "m"), "found 0.2 mm, allowed: 0.5 to 1000 mm"),
        (lambda: general(10, "x"), "found 'x', allowed: f, m, c, v"),
        (lambda: general(2, "v"), "found 2 mm, allowed: above 3 to 1000 mm"),
        (lambda: hole_limits(5, 5), "found IT5, allowed: IT6 to IT12"),
        (lambda: hole_limits(300, 7), "found 300 mm, allowed: above 0 and at most 250 mm"),
        (lambda: clearance_hole("M7", "fine"), "found 'M7', allowed: M2, M2.5, M3, M4, M5, M6, M8"),
    ],
)
def test_what_the_tables_do_not_have(call, message):
    with pytest.raises(ValueError, match=f"^{re.escape(message)}"):
        call()
