"""What operations ask of spindle, cutter and machine, worked by hand."""

from __future__ import annotations

import attrs
import pytest

import kerfwright as kw
from kerfwright.loads import loads
from kerfwright.placing import place

JOB = """\
job: loads
machine: {base: light-router, stiffness: 300 N/mm}
sheet: {material: cfrp, size: [80, 60], thickness: 2, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: up, diameter: 2, teeth: 2, flute_length: 8, measured: 2}
parts:
  - {name: tag, at: [15, 15], shapes: [{rectangle: {corner: [0, 0], size: [30, 20], radius: 3}}]}
operations:
  - profile: {cutter: mill, select: outer, spindle: 22000, feed: 620, plunge_feed: 60, axial_depth: 1.5}
"""


@pytest.fixture(scope="module")
def registry():
    return kw.Registry.load()


def loaded(text, tmp_path, registry):
    file = tmp_path / "loads.yaml"
    file.write_text(text)
    return kw.load_job(file, registry)


def test_a_full_slot(tmp_path, registry):
    """300 N/mm2 x 2 mm x 1.5 mm x 620 mm/min / 60,000 = 9.3 W; 60 x 9.3 / 138.23 = 4.037 N; with a half square to it
    x sqrt(1.25) = 4.513 N; cutter 4.513 x 512 / (3 x 600,000 x pi x 1.6^4 / 64) = 0.003990 mm; machine 4.513 / 300 = 0.01504 mm.
    """
    (setup,) = place(loaded(JOB, tmp_path, registry), registry)
    ((_, one),) = loads(setup)
    assert one.power == pytest.approx(9.3)
    assert one.force == pytest.approx(4.037, abs=0.001)
    assert one.side == pytest.approx(4.513, abs=0.001)
    assert one.cutter == pytest.approx(0.003990, abs=2e-6)
    assert one.machine == pytest.approx(0.01504, abs=1e-5)


def told(text, tmp_path, registry):
    result = kw.make(loaded(text, tmp_path, registry), registry)
    assert result.ok
    return [f.message for f in result.findings if f.check == "forces"], result


def test_bending_goes_into_the_budget(tmp_path, registry):
    """0.0190 mm of 0.1: less than a quarter, nothing is told. Of 0.07 it is more."""
    none, result = told(JOB, tmp_path, registry)
    (entry,) = (e for e in result.budgets[0].entries if e.cause == "bending")
    assert none == []
    assert entry.most == pytest.approx(0.01903, abs=1e-5)
    some, _ = told(JOB.replace("sheet:", "tolerance: 0.07\nsheet:"), tmp_path, registry)
    assert some == [
        "operations[0].profile: 4.5 N at the side move a wall by 0.019 mm, more than a quarter of the tolerance of 0.07 mm: leave an "
        "allowance and add a finishing pass, take a cutter with a shorter reach, or cut less depth in a pass"
    ]


def test_a_finishing_pass_bends_less(tmp_path, registry):
    """0.2 mm are left: a tenth of the width, a tenth of the force."""
    first = "  - profile: {cutter: mill, select: outer, spindle: 22000, feed: 620, plunge_feed: 60, axial_depth: 1.5, allowance: {side: 0.2}}"
    text = JOB.replace("operations:\n", f"operations:\n{first}\n")
    some, result = told(text.replace("sheet:", "tolerance: 0.07\nsheet:"), tmp_path, registry)
    (entry,) = (e for e in result.budgets[0].entries if e.cause == "bending")
    assert some == []
    assert entry.most == pytest.approx(0.001903, abs=2e-6)


def test_what_holds_of_three_sheets_is_told_once(tmp_path, registry):
    text = JOB.replace("sheet:", "tolerance: 0.07\nsheet:").replace("at: [15, 15]", "layout: {nest: {count: 6}}")
    some, result = told(text, tmp_path, registry)
    assert len(result.setups) == 3
    assert len(some) == 1


def test_a_weak_spindle_is_told(tmp_path, registry):
    job = loaded(JOB, tmp_path, registry)
    weak = attrs.evolve(job.machine, spindle=attrs.evolve(job.machine.spindle, power=9.0))
    found = [f.message for f in kw.make(attrs.evolve(job, machine=weak), registry).findings if f.check == "forces"]
    assert found == ["operations[0].profile needs 9 W, the spindle has 9 W: cut less depth in a pass, or more slowly"]


def test_what_is_not_known_stays_unknown(tmp_path, registry):
    job = loaded(JOB, tmp_path, registry)
    result = kw.make(attrs.evolve(job, machine=attrs.evolve(job.machine, stiffness=None)), registry)
    assert "bending" in result.budgets[0].unknown


FINISHED = JOB.replace(
    "  - profile: {",
    "  - profile: {cutter: mill, select: outer, allowance: {side: 0.1, bottom: 0.1}}\n  - profile: {",
)


@pytest.mark.parametrize(("feed", "chip"), [(340, "0.0034"), (400, "0.0040"), (505, None), (900, None)])
def test_a_finishing_cut_that_rubs_is_told(tmp_path, registry, feed, chip):
    """Beside 0.1 of 2 mm: 2 sqrt(0.05 - 0.0025) = 0.43589 of the feed a tooth. 0.005 mm are wanted (cfrp, up): 505 mm/min over 2
    teeth at 22,000 rpm make 0.011477 x 0.43589 = 0.0050029.
    """
    notes, _ = told(FINISHED.replace("feed: 620", f"feed: {feed}"), tmp_path, registry)
    mine = [n for n in notes if "rubs" in n]
    assert len(mine) == (chip is not None)
    assert all(
        n.startswith(f"operations[1].profile: beside 0.1 mm of material its chip is {chip} mm, 0.005 mm are wanted")
        for n in mine
    )


def test_below_an_earlier_operation_a_cut_is_as_wide_as_the_cutter(tmp_path, registry):
    """The first goes 1.5 mm deep, the second 2.4 in passes of 1.5: 0.9 of the deepest are 2 mm wide, 0.6 are 0.2: 1.28 mm on the mean.
    300 x 1.28 x 1.5 x 620 / 60,000 = 5.952 W.
    """
    first = "  - profile: {cutter: mill, select: outer, depth: 1.5, allowance: {side: 0.2}}"
    job = loaded(JOB.replace("operations:\n", f"operations:\n{first}\n"), tmp_path, registry)
    (setup,) = place(job, registry)
    _, (_, one) = loads(setup)
    assert (one.radial, one.axial) == (pytest.approx(1.28), 1.5)
    assert one.power == pytest.approx(5.952)


def test_a_pass_is_no_deeper_than_what_its_operation_takes(tmp_path, registry):
    """From 0.4 to 0.8 mm: 0.4 mm, whatever a pass may be; less the 0.1 that the last leaves on purpose."""
    rows = ("depth: 0.4", "from: 0.4, depth: 0.8", "from: 0.8, depth: 1.2, allowance: {bottom: 0.1}")
    recess = [f"  - pocket: {{cutter: mill, select: {{layer: rec}}, axial_depth: 1.5, {more}}}\n" for more in rows]
    hole = "{rectangle: {corner: [5, 5], size: [10, 10], radius: 2}, layer: rec}"
    text = JOB.replace("radius: 3}}]", f"radius: 3}}}}, {hole}]").replace(
        "operations:\n", "operations:\n" + "".join(recess)
    )
    (setup,) = place(loaded(text, tmp_path, registry), registry)
    assert [one.axial for _, one in loads(setup)] == pytest.approx([0.4, 0.4, 0.3, 1.5])


@pytest.mark.parametrize(("first", "radial"), [("mill", 0.2), ("wide", 0.6)])
def test_a_wider_cutter_leaves_the_corners_of_a_pocket(tmp_path, registry, first, radial):
    """0.2 mm at the wall after the same cutter; after a wider one up to the 0.3 x 2 mm that a pocket takes beside its cuts."""
    rough = f"  - pocket: {{cutter: {first}, select: {{layer: rec}}, depth: 0.8, allowance: {{side: 0.2}}}}\n"
    fine = "  - pocket: {cutter: mill, select: {layer: rec}, depth: 0.8, radial_depth: 0.3}\n"
    hole = "{rectangle: {corner: [5, 5], size: [10, 10], radius: 2}, layer: rec}"
    text = JOB.replace("radius: 3}}]", f"radius: 3}}}}, {hole}]").replace(
        "operations:\n", f"operations:\n{rough}{fine}"
    )
    text = text.replace(
        "cutters:\n", "cutters:\n  wide: {form: end_mill, flutes: up, diameter: 3, teeth: 2, flute_length: 8}\n"
    )
    (setup,) = place(loaded(text, tmp_path, registry), registry)
    _, (_, one), _ = loads(setup)
    assert one.radial == pytest.approx(radial)
