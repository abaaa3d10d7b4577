"""Chip thickness, power, force and bending, against values worked out from handbook formulas and against a library's beams."""

from __future__ import annotations

import math

import pytest
import sympy
from sympy.physics.continuum_mechanics.beam import Beam

from kerfwright.cutter import Cutter, Holder
from kerfwright.forces import bending, free_bending, power, tangential_force
from kerfwright.formulas import chip_thickness


@pytest.mark.parametrize(
    ("feed", "radial", "chip"),
    [(0.025, 0.2, 0.020), (0.025, 0.8, 0.025), (0.03, 0.5, 0.03)],  # h = 2 fz sqrt(a - a2), fz from a half on: geometry
)
def test_chip_thickness(feed, radial, chip):
    assert chip_thickness(feed, radial) == pytest.approx(chip, abs=1e-9)


def test_chip_thickness_measured_on_the_circle():
    """The chip at the deepest place is fz times the sine of the angle there: acos(1 - 2a) (geometry)."""
    for a in (0.05, 0.13, 0.31, 0.49):
        assert chip_thickness(0.02, a) == pytest.approx(0.02 * math.sin(math.acos(1 - 2 * a)), rel=1e-12)


def test_power_and_force():
    """P = kc ae ap vf / 60,000 W; F = 60 P / vc N: handbooks, from memory."""
    assert power(300, 2, 1.5, 620) == pytest.approx(9.3, abs=1e-9)
    assert tangential_force(9.3, 138.2) == pytest.approx(4.04, abs=0.005)


@pytest.mark.parametrize(("force", "length", "diameter", "mm"), [(6, 10, 0.8 * 3, 0.00205), (6, 14, 0.8 * 2, 0.02843)])
def test_bending(force, length, diameter, mm):
    """F L3 / 3 E I with 600 GPa and a core of 0.8 DC: beam theory."""
    assert bending(force, length, diameter) == pytest.approx(mm, abs=0.000005)


def beam(force, length, diameter):
    """End of a cantilever, by sympy's beams."""
    x = sympy.symbols("x")
    b = Beam(length, 600_000, sympy.pi * sympy.Float(diameter) ** 4 / 64)
    b.bc_deflection, b.bc_slope = [(0, 0)], [(0, 0)]
    r, m = sympy.symbols("R M")
    b.apply_load(r, 0, -1)
    b.apply_load(m, 0, -2)
    b.apply_load(-force, length, -1)
    b.solve_for_reaction_loads(r, m)
    return abs(float(b.deflection().subs(x, length)))


@pytest.mark.parametrize(("force", "length", "diameter"), [(6, 10, 2.4), (6, 14, 1.6), (2.5, 30, 3.0)])
def test_bending_against_a_library(force, length, diameter):
    assert bending(force, length, diameter) == pytest.approx(beam(force, length, diameter), rel=1e-9)


def test_a_stepped_cutter_by_its_energy():
    """Castigliano: the tip moves by the integral of F x2 / E I over the free length, summed here in 200,000 slices."""
    c = Cutter(form="end_mill", diameter=2, flute_length=8, shank=3.175, holder=Holder(diameter=20, above=22))
    n = 200_000
    total = 0.0
    for k in range(n):
        x = (k + 0.5) * 22 / n
        d = 1.6 if x < 8 else 3.175
        total += 5 * x * x / (600_000 * math.pi * d**4 / 64) * 22 / n
    assert free_bending(5, c) == pytest.approx(total, rel=2e-5)
