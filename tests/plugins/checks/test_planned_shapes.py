"""Outlines with sharp tips, fine chords and narrow bays: what is planned comes out clean, and a shifted program does not."""

from __future__ import annotations

import re

import attrs
import pytest
import shapely

import kerfwright as kw
from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Loop
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.proof import prove, reading_of

JOB = """
job: shape
machine: light-router
sheet: {{material: cfrp, size: [150, 110], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
parts:
  - {{name: shape, at: [20, 20], shapes: [{{rectangle: {{corner: [0, 0], size: [9, 9]}}}}]}}
operations:
  - {operation}
"""
OPERATIONS = {
    "pocket": "pocket: {cutter: mill, select: all, depth: 0.8, radial_depth: 0.4}",
    "inside": "profile: {cutter: mill, select: outer, waste: inside}",
    "outside": "profile: {cutter: mill, select: outer}",
}


@pytest.fixture(scope="module")
def registry():
    return kw.Registry.load()


def drawn(shape):
    """Its outlines as straight edges, its lower left corner at 0, 0."""
    rings = shapely.get_rings(shape)
    x, y = shapely.bounds(shape)[:2]
    return Drawing.nested([Loop(Curve.line(shapely.get_coordinates(r) - [x, y])) for r in rings])


def planned(registry, shape, operation):
    """The sheet, and its programs as name, kind and text."""
    job = kw.load_job("shape.yaml", registry, text=JOB.format(operation=OPERATIONS[operation]))
    job = attrs.evolve(job, parts=(attrs.evolve(job.parts[0], drawing=drawn(shape)),))
    (setup,) = place(job, registry)
    return setup, [(p.name, p.kind, kw.write(p, "nist6556", registry)) for p in plan_setup(setup, registry)]


def proved(registry, setup, texts):
    return prove(setup, [reading_of(n, k, t, "nist6556", setup.job, registry) for n, k, t in texts], registry)


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("name", ["star", "rib", "gear", "comb"])
def test_what_is_planned_is_clean_and_a_shift_is_told(registry, shapes, name, operation):
    shape = shapes[name] if operation == "pocket" else shapely.Polygon(shapes[name].exterior)
    setup, texts = planned(registry, shape, operation)
    proof = proved(registry, setup, texts)
    told = [(f.check, f.severity) for f in proof.findings if f.severity != "note"]
    assert told in (
        [],
        [("reach", "warning")],
    )  # the cutter is too big for the roots of the gear and the tail of the rib
    (part,) = proof.parts
    assert part.worst_leftover_mm < 0.003
    assert part.worst_gouge_mm < 0.002
    by = -0.02  # towards the nose of the rib: along its tail the walls all but follow X

    def shifted(text):
        return re.sub(r"(?<=X)-?[0-9.]+", lambda m: f"{float(m[0]) + by:.3f}", text)

    told = proved(registry, setup, [(n, k, shifted(t)) for n, k, t in texts])
    codes = {f.check for f in told.findings if f.severity == "error"}
    assert told.parts[0].worst_leftover_mm > 0.015
    if operation == "pocket" and not shapely.get_num_interior_rings(shape):
        assert codes == {"leftover"}  # around a pocket of the whole outline nothing is declared that must stay
    else:
        assert codes == {"gouge", "leftover"}
        assert told.parts[0].worst_gouge_mm > 0.015
