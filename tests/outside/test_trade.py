"""What shops say of laminate sheet on a light router. Source of every value here: common practice, no document.

Burr in laminate on an unknown light machine: first feed about 500 mm/min, plunge 50 to 100, spindle as fast as it goes; one
pass up to 3 mm, 1 to 2 mm a pass above; sheets under 1 mm need glue or tape as well as screws.
"""

from __future__ import annotations

import math

import attrs
import pytest

from kerfwright.jobfile import load_job
from kerfwright.machine import Axes, Machine, Spindle
from kerfwright.operation import Profile
from kerfwright.rates import Rates, choose
from kerfwright.registry import Registry
from kerfwright.tables import load_tables
from kerfwright_plugins.tables import kerfwright_tables

REGISTRY = Registry.load()

TABLES = load_tables(Registry(tables=kerfwright_tables()))
UNKNOWN = Machine(spindle=Spindle(least=6000, most=24000), feed=Axes(xy=5000, z=2000), rapid=Axes(xy=5000, z=2000))

pytestmark = pytest.mark.parametrize("name", ["cfrp", "gfrp"])


def burr(name: str, thickness: float, diameter: float = 2.0, machine: Machine = UNKNOWN) -> Rates:
    cutter = attrs.evolve(TABLES.cutters["burr-2"], diameter=diameter)
    return choose(Profile(cutter=cutter), TABLES.materials[name], machine, "first", thickness, 0.4)


@pytest.mark.parametrize("diameter", [1.6, 2.0, 2.4, 3.0, 3.175])
def test_first_feed_of_a_burr(name, diameter):
    """Common practice: about 500 mm/min; plunge 50 to 100 mm/min; the spindle as fast as it goes."""
    r = burr(name, 2.0, diameter)
    assert 450 <= r.feed <= 550
    assert 50 <= r.plunge_feed <= 100
    assert r.spindle == 24000


@pytest.mark.parametrize("most", [18000, 24000, 30000])
def test_the_spindle_goes_as_fast_as_it_can(name, most):
    """Common practice."""
    machine = attrs.evolve(UNKNOWN, spindle=Spindle(least=6000, most=most))
    assert burr(name, 2.0, machine=machine).spindle == most


@pytest.mark.parametrize("thickness", [0.8, 1.5, 2.0, 3.0])
def test_one_pass_up_to_3_mm(name, thickness):
    """Common practice: one pass up to 3 mm of laminate; the breakthrough into the board goes with it."""
    assert math.ceil((thickness + 0.4) / burr(name, thickness).axial_depth - 1e-9) == 1


@pytest.mark.parametrize("thickness", [3.1, 4.0, 6.0])
def test_1_to_2_mm_a_pass_above(name, thickness):
    """Common practice."""
    assert 1 <= burr(name, thickness).axial_depth <= 2


def test_a_mill_is_no_bolder_than_a_burr(name):
    """Nothing but a burr is known to be safe on an unknown light machine (common practice)."""
    for cutter in TABLES.cutters.values():
        if cutter.form == "end_mill" and cutter.diameter <= 3:
            r = choose(Profile(cutter=cutter), TABLES.materials[name], UNKNOWN, "first", 2.0, 0.4)
            assert r.feed <= 550
            assert 50 <= r.plunge_feed <= 100


JOB = """\
job: vane
machine: light-router
sheet: {material: MATERIAL, size: [90, 60], thickness: THICK, board: 12, hold: screws}
cutters: {mill: burr-2}
parts: [{name: vane, shapes: [{circle: {center: [0, 0], diameter: 30}}], at: [20, 20]}]
operations: [{profile: {cutter: mill}}]
"""


@pytest.mark.parametrize(("thickness", "told"), [(0.5, True), (0.9, True), (1.0, False), (2.0, False)])
def test_a_sheet_under_1_mm_needs_more_than_screws(name, thickness, told):
    """Common practice: glue or tape as well as screws."""
    text = JOB.replace("MATERIAL", name).replace("THICK", str(thickness))
    job = load_job("-", REGISTRY, text=text)
    assert any("glue or tape as well as screws" in warning for warning in job.warnings) == told


def test_what_a_part_keeps_where_the_job_says_nothing(name):
    """Common practice: ±0.1 mm is reached."""
    text = JOB.replace("MATERIAL", name).replace("THICK", "2")
    assert load_job("-", REGISTRY, text=text).tolerance == 0.1
