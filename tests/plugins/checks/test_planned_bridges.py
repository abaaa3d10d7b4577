"""Bridges between neighbours, sloped ones, and lost ones: planned, read back and proved."""

from __future__ import annotations

import re

import pytest

import kerfwright as kw
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.proof import prove, reading_of

JOB = """
job: grid
machine: light-router
sheet: {{material: cfrp, size: [120, 90], thickness: 2, breakthrough: 0.4, board: 12, hold: {hold}}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
parts:
  - {{name: piece, at: {at}, shapes: [{shape}]}}
operations:
  - profile: {{cutter: mill, select: outer, bridges: {{width: 0.8, thickness: 0.5, spacing: {spacing}}}}}
"""
PLATE = "rectangle: {corner: [0, 0], size: [60, 40], radius: 3}"


@pytest.fixture(scope="module")
def registry():
    return kw.Registry.load()


def proved(registry, spoil=lambda text: text, **said):
    job = kw.load_job("grid.yaml", registry, text=JOB.format(**said))
    (setup,) = place(job, registry)
    texts = [(p.name, p.kind, spoil(kw.write(p, "nist6556", registry))) for p in plan_setup(setup, registry)]
    return prove(setup, [reading_of(n, k, t, "nist6556", job, registry) for n, k, t in texts], registry)


def grid(diameter, gap, **more):
    """Six discs, as neighbours that share their kerf where the gap is as narrow as that."""
    step = diameter + gap
    return {
        "at": [[12 + i * step, 12 + k * step] for i in range(3) for k in range(2)],
        "shape": f"circle: {{center: [{diameter / 2}, {diameter / 2}], diameter: {diameter}}}",
        "hold": "tape",
        **more,
    }


@pytest.mark.parametrize("gap", [2, 3, 4, 6])
@pytest.mark.parametrize(("diameter", "spacing"), [(20, 40), (20, 15)])
def test_discs_beside_discs_are_released(registry, diameter, spacing, gap):
    """Bridges of two neighbours side by side are wider than declared: told, and no error."""
    proof = proved(registry, **grid(diameter, gap, spacing=spacing))
    assert [f for f in proof.findings if f.severity == "error"] == []
    assert {f.check for f in proof.findings if f.severity == "warning"} <= {"bridge"}
    assert all(int(part.held_by.split(" bridges")[0]) >= 2 for part in proof.parts)


@pytest.mark.parametrize("gap", [2.5, 6])
def test_a_wide_waist_between_neighbours_is_told(registry, gap):
    told = {f.message for f in proved(registry, **grid(20, gap, spacing=15)).findings if f.severity == "warning"}
    assert any("declared 0.8 mm" in message for message in told) == (gap < 4)


def test_a_slug_between_four_discs_that_nothing_holds_is_refused(registry):
    """Where kerfs meet all around it, it comes free, and screws do not hold it."""
    proof = proved(registry, **grid(20, 2.5, spacing=40, hold="screws"))
    assert {f.check for f in proof.findings if f.severity == "error"} == {"loose"}


PLATED = {"at": [[20, 20]], "shape": PLATE, "hold": "screws"}


@pytest.mark.parametrize("slope", [0, 45, 30])
def test_sloped_bridges_on_a_plate(registry, slope):
    proof = proved(registry, **PLATED, spacing=f"40, slope: {slope}")
    assert proof.findings == ()
    assert [part.held_by for part in proof.parts] == ["6 bridges"]  # 201.1 mm along the way of the cutter


def cut_through(which):
    """The cutter goes on at its depth where a bridge was meant to be."""

    def spoil(text):
        parts = re.split(r"Z-1\.500", text)
        return "Z-1.500".join(parts[: which + 1]) + "Z-2.400" + "Z-1.500".join(parts[which + 1 :])

    return spoil


@pytest.mark.parametrize("which", [0, 1, 2])
@pytest.mark.parametrize(
    "said",
    [
        {**PLATED, "spacing": 50},
        {"at": [[20, 20]], "shape": "circle: {center: [20, 20], diameter: 40}", "hold": "screws", "spacing": 40},
    ],
    ids=["plate", "disc"],
)
def test_a_lost_bridge_of_several_is_an_error(registry, said, which):
    proof = proved(registry, cut_through(which), **said)
    assert [f.check for f in proof.findings if f.severity == "error"] == ["bridge"]
    assert any("there is room for another" in f.message for f in proof.findings)
