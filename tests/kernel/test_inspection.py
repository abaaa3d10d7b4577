"""Sizes of a part: which are measured, and the limits that a number or a class of ISO 2768-1 gives them."""

from __future__ import annotations

import pytest

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.placing import place

JOB = """\
job: rail
machine: light-router
tolerance: {tolerance}
sheet: {{material: gfrp, size: [140, 90], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}}
cutters:
  mill: {{form: end_mill, flutes: burr, diameter: 2, teeth: 6, flute_length: 9}}
  drill: {{form: drill, diameter: {drill}, point_angle: 118, flute_length: 20}}
parts:
  - {{name: rail, at: [20, 20], shapes: [{shapes}]}}
operations:
  - drill: {{cutter: drill, select: {{circles: [1, 5]}}}}
  - profile: {{cutter: mill, select: inner}}
  - profile: {{cutter: mill, select: outer}}
output: nist6556
"""
RAIL = "rectangle: {corner: [0, 0], size: [80, 50]}"
REGISTRY = kw.Registry.load()


def job(*shapes: str, tolerance: object = 0.1, drill: float = 3.2) -> kw.Job:
    said = JOB.format(tolerance=tolerance, drill=drill, shapes=", ".join(f"{{{s}}}" for s in (RAIL, *shapes)))
    return kw.load_job("rail.yaml", REGISTRY, text=said)


def hole(x: float, y: float, diameter: float) -> str:
    return f"circle: {{center: [{x}, {y}], diameter: {diameter}}}"


SLOT = "slot: {from: [30, 25], to: [50, 25], width: 7}"
WALLS = [
    # class, shapes beside 80 x 50: half of the tightest row of ISO 2768-1 that occurs (mm)
    ("m", [hole(10, 10, 3.2)], 0.05),
    ("ISO 2768-m", [hole(10, 10, 3.2)], 0.05),
    ("ISO 2768-1 f", [hole(10, 10, 3.2)], 0.025),
    ("c", [hole(10, 10, 3.2)], 0.15),
    ("c", [hole(10, 10, 3)], 0.1),
    ("v", [hole(10, 10, 3.2)], 0.25),
    ("m", [hole(10, 10, 8)], 0.1),
    ("m", [SLOT], 0.1),
    ("m", [], 0.15),
    ("f", [], 0.075),
]


@pytest.mark.parametrize(("said", "shapes", "wall"), WALLS)
def test_a_class_makes_the_number_that_walls_keep(said: str, shapes: list[str], wall: float) -> None:
    found = job(*shapes, tolerance=said)
    assert found.tolerance == pytest.approx(wall)
    assert found.tolerance_class == said[-1]
    assert job(*shapes).tolerance_class is None


def test_each_size_has_its_own_row() -> None:
    found = job(hole(10, 10, 3.2), tolerance="m")
    assert [found.allowed(v) for v in (2, 3, 3.2, 6, 30, 31, 120, 400)] == [0.1, 0.1, 0.1, 0.1, 0.2, 0.3, 0.3, 0.5]
    assert job(tolerance=0.07).allowed(300) == 0.07


DRILLS = [
    # class, hole, drill: the hole may be off by its own row, 0.1 mm in m and 0.3 mm in c
    ("m", 3.2, 3.12, True),
    ("m", 3.2, 3.05, False),
    ("c", 3.2, 3.0, True),
]


@pytest.mark.parametrize(("name", "wide", "drill", "fits"), DRILLS)
def test_a_drill_makes_a_hole_within_its_row(name: str, wide: float, drill: float, fits: bool) -> None:
    found = job(hole(10, 10, wide), SLOT, tolerance=name, drill=drill)
    if fits:
        assert kw.make(found, REGISTRY).ok
    else:
        with pytest.raises(InputError, match=r"not the hole of a drill of 3\.05 mm, allowed: within 0\.1 mm"):
            place(found, REGISTRY)


def test_what_was_made_of_the_class_is_told() -> None:
    result = kw.make(job(hole(10, 10, 3.2), SLOT, tolerance="m"), REGISTRY)
    (told,) = (f for f in result.findings if f.check == "tolerance")
    assert told.severity == "note"
    assert "ISO 2768-m: the tightest row is that of 3.2 mm (hole, part 'rail'), ± 0.1 mm" in told.message
    assert told.message.endswith("so each wall must keep ± 0.05 mm")
    assert [b.tolerance for b in result.budgets] == [0.05]
    assert not [f for f in kw.make(job(hole(10, 10, 3.2), SLOT), REGISTRY).findings if f.check == "tolerance"]
