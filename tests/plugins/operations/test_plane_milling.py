"""A face skimmed: what stands after it, measured in the sweep, against areas worked by hand."""

from __future__ import annotations

import re

import pytest
import shapely

FACE = "rectangle: {corner: [0, 0], size: [80, 50]}"
CUTTER = "fine: {form: end_mill, flutes: compression, diameter: 0.8"
WIDE = "fine: {form: end_mill, flutes: straight, diameter: 6"
SCREW = ", keepout: [{circle: {center: [60, 45], diameter: 8}, height: 3}]"


def skim(bench, what: str = "") -> str:
    return f"plane_milling: {{cutter: fine, depth: 0.4, radial_depth: 0.6{what}, {bench.rates()}}}"


def job(bench, *operations: str, **said) -> str:
    values = {"shapes": [FACE], "at": "[20, 20]", "thickness": 12, "sheet": SCREW, **said}
    return bench.text(*operations, **values).replace(CUTTER, WIDE).replace("material: cfrp", "material: plywood")


@pytest.mark.parametrize("cover", ["contour_parallel", "bidirectional"])
@pytest.mark.parametrize("cutmode", ["climb", "conventional"])
def test_all_of_the_face_goes_but_what_is_near_a_screw(bench, cover, cutmode):
    """The screw is 8 mm wide and is kept 1.5 mm clear of: a disc of 11 mm stays, and nothing else."""
    setup, _, evidence = bench.clean(job(bench, skim(bench, f", clear: 1.5, cover: {cover}, cutmode: {cutmode}")))
    face = setup.pieces[0].loops[0].curve.polygon()
    stays = shapely.difference(face, evidence.at(-0.4 + 1e-6).swept())
    stays = max(shapely.get_parts(stays), key=lambda p: p.area)
    assert stays.area == pytest.approx(3.14159265 * 5.5**2, abs=0.1)
    assert stays.bounds == pytest.approx((54.5, 39.5, 65.5, 50.5), abs=0.003)
    assert shapely.difference(face, evidence.at(-0.4 + 1e-6).swept()).area - stays.area < 1e-3
    assert evidence.at(-0.4 - 1e-6).swept().is_empty


def test_it_is_told_that_the_face_lies_lower(bench):
    import kerfwright as kw

    result = kw.make(kw.load_job("board.yaml", bench.registry, text=job(bench, skim(bench))), bench.registry)
    text = "the face lies 0.4 mm lower after this: touch Z off again before anything is laid or cut on it"
    assert result.ok
    assert [f.message for f in result.findings if f.check == "plan"] == [text]


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        (lambda t: re.sub(r"Z-0\.400", "Z-0.420", t), {"gouge", "too_deep"}),
        (lambda t: re.sub(r"Z-0\.400", "Z-0.380", t), {"leftover"}),
        (lambda t: t.replace("M5\n", "X60 Y45\nZ2\nG1 Z-0.4 F50\nG0 Z8\nM5\n", 1), {"gouge", "keepout"}),
    ],
    ids=["deeper", "higher", "into the screw"],
)
def test_a_spoiled_face_is_found(bench, change, codes):
    setup, texts, _ = bench.clean(job(bench, skim(bench)))
    assert bench.codes(setup, texts, "fine", change) == codes


REFUSED = [
    ([skim, "pocket: {cutter: fine, select: outer, depth: 1}"], {}, "lies over sheet.keepout[0]"),
    ([skim], {"sheet": ", keepout: [{rectangle: {corner: [15, 15], size: [90, 60]}, height: 3}]"}, "keepouts leave a cutter of 6 mm nowhere to stand"),
]  # fmt: skip


@pytest.mark.parametrize(("operations", "more", "told"), REFUSED)
def test_what_cannot_be_made_is_refused(bench, operations, more, told):
    text = job(bench, *(one(bench) if callable(one) else one for one in operations), **more)
    assert any(told in fault for fault in bench.refused(text))


def test_another_piece_beside_the_face_is_not_touched(bench):
    """Two parts 2 mm apart: the cutter of 6 mm would run over the edge of one into the other."""
    text = job(
        bench,
        skim(bench, ", select: {part: hatch}"),
        skim(bench, ", select: {part: other}"),
        sheet="",
        shapes=[FACE.replace("80", "30")],
    )
    other = "  - {name: other, at: [52, 20], shapes: [{rectangle: {corner: [0, 0], size: [30, 50]}}]}\noperations:"
    (fault,) = bench.refused(text.replace("operations:", other))
    assert "would cut into part 'other' copy 1" in fault
