"""Mistakes in the mappings of operations beyond the core: operation, exact messages, by hand."""

from __future__ import annotations

import pytest

import kerfwright as kw
from kerfwright.errors import InputError

PLATE = "rectangle: {corner: [0, 0], size: [60, 40]}"
SIZES = "M1.6, M2, M2.5, M3, M3.5, M4, M5, M6, M8, M10"
COUNTERSINK = "cutter, spindle, feed, plunge_feed, axial_depth, pace, cutmode, route, select, size, diameter, land"

ROWS = [
    ("countersink: {cutter: vee}", ["operations[0].countersink.size: found nothing, allowed: one of size, diameter"]),
    ("countersink: {cutter: vee, size: M3, diameter: 6}", ["operations[0].countersink.size: found size and diameter, allowed: one of size, diameter"]),
    ("countersink: {cutter: vee, size: M7}", [f"operations[0].countersink.size: found 'M7', allowed: one of {SIZES}"]),
    ("countersink: {cutter: vee, diameter: 61}", ["operations[0].countersink.diameter: found 61, allowed: a number above 0 and at most 60 mm"]),
    ("countersink: {cutter: vee, diameter: 6, land: 0.01}", ["operations[0].countersink.land: found 0.01, allowed: a number at least 0.05 mm"]),
    ("countersink: {cutter: mill, size: M3}", ["operations[0].countersink.cutter: found 'mill', which is of form end_mill, allowed: one of form chamfer_mill"]),
    ("countersink: {cutter: sharp, size: M3}", ["operations[0].countersink.cutter: found a cone of 60 deg, allowed: 90 deg for a size of ISO 15065, or say its diameter"]),
    ("countersink: {cutter: vee, size: M3, depth: 1}", [f"operations[0].countersink.depth: found an unknown key, allowed: {COUNTERSINK}, did you mean axial_depth?"]),
    ("countersink: {cutter: vee, size: M3, from: 1}", [f"operations[0].countersink.from: found an unknown key, allowed: {COUNTERSINK}"]),
    ("countersink: {cutter: vee, size: M3, repeat: 1}", [f"operations[0].countersink.repeat: found an unknown key, allowed: {COUNTERSINK}"]),
    ("edge_break: {cutter: vee}", ["operations[0].edge_break.width: found nothing, allowed: a number at least 0.05 and at most 10 mm"]),
    ("edge_break: {cutter: vee, width: 0}", ["operations[0].edge_break.width: found 0, allowed: a number at least 0.05 and at most 10 mm"]),
    ("edge_break: {cutter: vee, width: 0.5, below: 6}", ["operations[0].edge_break.below: found 6, allowed: a number at least 0.05 and at most 5 mm"]),
    ("edge_break: {cutter: mill, width: 0.5}", ["operations[0].edge_break.cutter: found 'mill', which is of form end_mill, allowed: one of form chamfer_mill"]),
    ("mark: {cutter: vee}", ["operations[0].mark.select: found nothing, allowed: one of select, text"]),
    ("mark: {cutter: vee, select: outer, text: A, at: [1, 1]}", ["operations[0].mark.select: found select and text, allowed: one of select, text"]),
    ("mark: {cutter: vee, text: A}", ["operations[0].mark.at: found nothing, allowed: two numbers mm, where the text stands in the drawing"]),
    ("mark: {cutter: vee, text: A+B, at: [1, 1]}", ["operations[0].mark.text: found '+', allowed: A to Z, 0 to 9, space, - . / # _, and {part}, {copy}"]),
    ("mark: {cutter: vee, text: '{sheet}', at: [1, 1]}", ["operations[0].mark.text: found '{', allowed: A to Z, 0 to 9, space, - . / # _, and {part}, {copy}"]),
    ("mark: {cutter: vee, text: ' ', at: [1, 1]}", ["operations[0].mark.text: found ' ', allowed: a text"]),
    ("mark: {cutter: vee, text: A, at: [1, 1], depth: through}", ["operations[0].mark.depth: found 'through', allowed: a number above 0 and at most 5 mm"]),
    ("mark: {cutter: vee, text: A, at: [1, 1], height: 0}", ["operations[0].mark.height: found 0, allowed: a number above 0 and at most 200 mm"]),
    ("plane_milling: {cutter: mill}", ["operations[0].plane_milling.depth: found nothing, allowed: a number above 0 and at most 5 mm"]),
    ("plane_milling: {cutter: mill, depth: 0.4, clear: 0.1}", ["operations[0].plane_milling.clear: found 0.1, allowed: a number at least 0.5 and at most 50 mm"]),
    ("plane_milling: {cutter: vee, depth: 0.4}", ["operations[0].plane_milling.cutter: found 'vee', which is of form chamfer_mill, allowed: one of form end_mill"]),
]  # fmt: skip

TEXT = """
job: hatch
machine: light-router
sheet: {{material: cfrp, size: [120, 90], thickness: 3, breakthrough: 0.5, board: 12, hold: tape}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
  vee: {{form: chamfer_mill, point_angle: 90, diameter: 6, tip_diameter: 0.2, flute_length: 5}}
  sharp: {{form: chamfer_mill, point_angle: 60, diameter: 6, flute_length: 6}}
parts:
  - {{name: hatch, at: [20, 20], shapes: [{{rectangle: {{corner: [0, 0], size: [60, 40]}}}}]}}
operations:
  - {}
"""


@pytest.fixture(scope="module")
def registry() -> kw.Registry:
    return kw.Registry.load()


@pytest.mark.parametrize(("operation", "told"), ROWS)
def test_a_mistake_is_told(registry, operation, told):
    with pytest.raises(InputError) as e:
        kw.load_job(
            "job.yaml", registry, text=TEXT.replace("- {}", f"- {operation}").replace("{{", "{").replace("}}", "}")
        )
    assert [f"{f.path}: {f.message}" for f in e.value.faults] == told
