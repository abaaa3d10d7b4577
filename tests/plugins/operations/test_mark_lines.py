"""Open lines: followed where a mark names their layer, a fault everywhere else."""

from __future__ import annotations

import io
from pathlib import Path

import ezdxf
import pytest
import shapely

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.evidence import Evidence
from kerfwright.placing import place
from kerfwright.planning import plan_setup
from kerfwright.proof import reading_of

REGISTRY = kw.Registry.load()

JOB = """
job: dial
machine: light-router
sheet: {{material: cfrp, size: [120, 90], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 8}}
  vee: {{form: chamfer_mill, point_angle: 90, diameter: 6, tip_diameter: 0.2, flute_length: 5}}
parts:
  - {{name: dial, at: [30, 20], turn: {turn}, drawing: dial.dxf}}
operations:
{operations}  - profile: {{cutter: mill, select: outer}}
"""
MARK = "  - mark: {{cutter: vee, select: {}, spindle: 18000, feed: 400, plunge_feed: 100, axial_depth: 1}}\n"
SCORE = MARK.format("{layer: score}")


@pytest.fixture
def dial(tmp_path: Path) -> Path:
    """50 x 36 mm; on layer score a T of two lines that branch, an arc, and a line of its own on layer fold."""
    doc = ezdxf.new(units=4)
    m = doc.modelspace()
    m.add_lwpolyline([(0, 0), (50, 0), (50, 36), (0, 36)], close=True, dxfattribs={"layer": "cut"})
    m.add_line((10, 8), (30, 8), dxfattribs={"layer": "score"})
    m.add_line((20, 8), (20, 28), dxfattribs={"layer": "score"})
    m.add_arc((35, 20), 6, 0, 90, dxfattribs={"layer": "score"})
    out = io.StringIO()
    doc.write(out)
    (tmp_path / "dial.dxf").write_text(out.getvalue())
    return tmp_path


def load(folder: Path, operations: str, turn: int = 0) -> kw.Job:
    file = folder / "dial.yaml"
    file.write_text(JOB.format(operations=operations, turn=turn))
    return kw.load_job(file, REGISTRY)


@pytest.mark.parametrize("turn", [0, 90])
def test_lines_are_followed_where_the_piece_has_them(dial, turn):
    """0.2 mm deep, tip 0.2, 45 degrees: 0.6 mm wide at the top. Turned by 90 degrees (x, y) goes to (36 - y, x)."""
    job = load(dial, SCORE, turn)
    result = kw.make(job, REGISTRY)
    assert result.ok
    registry = REGISTRY
    (setup,) = place(job, registry)
    texts = [(p.name, kw.write(p, "nist6556", registry)) for p in plan_setup(setup, registry)]
    evidence = Evidence(setup, tuple(reading_of(n, "program", t, "nist6556", job, registry) for n, t in texts))
    drawn = shapely.union_all(
        [
            shapely.LineString([(10, 8), (30, 8)]),
            shapely.LineString([(20, 8), (20, 28)]),
            shapely.intersection(shapely.Point(35, 20).buffer(6, 400).exterior, shapely.box(35, 20, 42, 27)),
        ]
    )
    if turn:
        drawn = shapely.transform(drawn, lambda p: p[:, ::-1] * [-1, 1] + [36, 0])
    want = shapely.transform(drawn, lambda p: p + [30, 20]).buffer(0.3, 64)
    inner = shapely.box(33, 23, 77, 53) if not turn else shapely.box(33, 23, 63, 67)
    got = shapely.intersection(evidence.at(-1e-6).swept(), inner)
    assert want.symmetric_difference(got).area < 0.02
    assert want.hausdorff_distance(got) < 0.01


@pytest.mark.parametrize(
    ("operations", "told"),
    [
        ("", "3 ends meet at 20, 8; allowed: two"),  # nobody follows: as ever
        (MARK.format("outer"), "3 ends meet at 20, 8; allowed: two"),
        (MARK.format("{layer: cut}"), "3 ends meet at 20, 8; allowed: two"),
        ("  - profile: {cutter: mill, select: {layer: score}}\n", "3 ends meet at 20, 8; allowed: two"),
    ],
)
def test_lines_that_no_mark_names_are_refused(dial, operations, told):
    with pytest.raises(InputError) as e:
        load(dial, operations)
    assert any(told in str(f) for f in e.value.faults) or any("not closed" in str(f) for f in e.value.faults)


def test_a_line_that_the_selection_leaves_out_is_refused(dial):
    with pytest.raises(InputError) as e:
        kw.make(load(dial, MARK.format("{layer: score, within: [5, 5, 32, 30]}")), REGISTRY)
    (fault,) = e.value.faults
    assert "no operation follows the open line on layer 'score' from (41, 20) to (35, 26)" in fault.message


def test_a_line_beyond_the_part_is_refused(dial):
    text = (dial / "dial.dxf").read_text()
    doc = ezdxf.read(io.StringIO(text))
    doc.modelspace().add_line((40, 30), (55, 30), dxfattribs={"layer": "score"})
    out = io.StringIO()
    doc.write(out)
    (dial / "dial.dxf").write_text(out.getvalue())
    with pytest.raises(InputError, match=r"between \(70.000, 50.000\) and \(85.000, 50.000\) reaches beyond the part"):
        kw.make(load(dial, SCORE), REGISTRY)


def test_lines_after_their_piece_is_cut_out_are_refused(dial):
    job = JOB.replace("{operations}", "").format(turn=0) + SCORE
    (dial / "dial.yaml").write_text(job)
    with pytest.raises(InputError, match="has cut out before"):
        kw.make(kw.load_job(dial / "dial.yaml", REGISTRY), REGISTRY)
