"""Quotes of jobs that are made whole: what the drawings and the programs' texts bring into them. Amounts worked by hand."""

from __future__ import annotations

import json

import attrs
import pytest

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.pricing.cost import Cost
from kerfwright.pricing.quote import Quote
from kerfwright.resultfile import result_json


def amounts(cost: Cost) -> dict[str, float]:
    return {line.what: line.amount for line in cost.lines}


NEST = """\
job: tiles
machine: light-router
sheet: {material: acrylic, size: [120, 60], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: straight, diameter: 2, teeth: 2, flute_length: 8, life: 10, price: 30}
parts:
  - {name: tile, shapes: [{rectangle: {corner: [0, 0], size: [48, 40]}}], layout: {nest: {count: 5, gap: 3}}}
operations:
  - profile: {cutter: mill, entry: toolaxis, passes: single, lead: none, axial_depth: 2.3}
quote: {sheet_price: 6, hourly_rate: 60, set_up_min: 10, handling_min: 1, quantity: 11}
"""


@pytest.fixture(scope="module")
def tiles() -> kw.Result:
    result = kw.make(kw.load_job("tiles.yaml", text=NEST))
    assert result.ok, result.findings
    return result


def test_over_several_sheets(tiles: kw.Result) -> None:
    """Two tiles side by side are 96 mm and their kerfs, three are more than 120; two rows are more than 60."""
    cost = tiles.cost
    assert cost is not None
    assert (cost.sheets_per_run, cost.pieces_per_run, cost.price.runs, cost.price.sheets) == (3, 5, 3, 9)
    assert amounts(cost)["Sheets"] == 54.00  # 3 runs of 3 sheets at 6
    assert amounts(cost)["Set-up"] == 10.00
    assert amounts(cost)["Handling"] == 11.00
    assert cost.yielded == pytest.approx(0.444444, abs=1e-6)  # 5 x 48 x 40 / (3 x 120 x 60)
    seconds = sum(p.time_s for p in tiles.programs)
    assert len(tiles.programs) == 6  # each sheet has its walk-round
    assert amounts(cost)["Machine time"] == pytest.approx(3 * seconds / 60, abs=0.005001)  # 60 an hour


def test_wear_is_by_the_metres_of_the_text(tiles: kw.Result) -> None:
    """A tile: 2.3 mm down, around it 176 mm and four corners of radius 1, 6.283: 184.583. Five of them: 0.92292 m."""
    cost = tiles.cost
    assert cost is not None
    assert (
        amounts(cost)["Wear of cutter mill"] == 8.31
    )  # 5 x (2 x 88 + 2 pi + 2.3) = 922.92 mm; 3 runs of 10 m at 30: 8.3062


PAIR = """\
job: frame
machine: light-router
sheet: {material: gfrp, size: [300, 200], thickness: 2, breakthrough: 0.3, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2, teeth: 2, flute_length: 8}
parts:
  - name: cheek
    at: [[20, 20], [20, 70]]
    shapes:
      - rectangle: {corner: [0, 0], size: [60, 40]}
      - rectangle: {corner: [10, 10], size: [20, 20]}
      - rectangle: {corner: [40, 10], size: [10, 20]}
        layer: recess
  - {name: arm, at: [110, 20], shapes: [{rectangle: {corner: [0, 0], size: [30, 40]}}]}
operations:
  - pocket: {cutter: mill, select: {layer: recess}, depth: 0.5}
  - profile: {cutter: mill, select: inner}
  - profile: {cutter: mill, select: outer}
quote: {currency: EUR, sheet_price: 40, sheet_share: used, quantity: 2}
"""


@pytest.fixture(scope="module")
def frame() -> kw.Result:
    result = kw.make(kw.load_job("frame.yaml", text=PAIR))
    assert result.ok, result.findings
    return result


def test_parts_of_a_made_job_share_by_area_and_a_recess_is_no_hole(frame: kw.Result) -> None:
    cost = frame.cost
    assert cost is not None
    # cheeks: 2 x (60 x 40 - 20 x 20) = 4000; the arm: 30 x 40 = 1200; together 5200
    assert [(p.name, p.pieces_per_run) for p in cost.parts] == [("cheek", 2), ("arm", 1)]
    assert [p.share for p in cost.parts] == pytest.approx([4000 / 5200, 1200 / 5200], abs=1e-6)
    # the arm ends at 140; a kerf of 2 and a margin of 5: 147 of 300 mm
    assert cost.charged_sheets_per_run == pytest.approx(0.49, abs=1e-6)
    assert cost.price.total == 39.20  # 2 runs x 0.49 x 40
    assert cost.yielded == pytest.approx(5200 / (147 * 200), abs=1e-6)
    assert [p.each for p in cost.parts] == [7.5385, 4.5231]  # 19.60 x 4000 / 5200 / 2, 19.60 x 1200 / 5200


def test_the_file_has_stable_keys_and_the_same_bytes(frame: kw.Result) -> None:
    text = result_json(frame)
    cost = json.loads(text)["cost"]
    assert list(cost) == [
        "currency", "unit", "units_per_run", "pieces_per_run", "sheets_per_run", "charged_sheets_per_run", "quantity", "runs",
        "sheets", "lines", "total", "each", "per_piece", "per_run", "quantities", "parts", "yield", "not_counted",
    ]  # fmt: skip
    assert [list(v) for v in cost["lines"]] == [["what", "amount", "how"]]
    assert list(cost["quantities"][0]) == ["quantity", "runs", "sheets", "total", "each", "per_piece"]
    assert (cost["currency"], cost["quantity"], cost["total"], cost["yield"]) == ("EUR", 2, 39.2, 0.1769)
    assert text == result_json(kw.make(kw.load_job("frame.yaml", text=PAIR)))


def test_programs_are_the_same_with_and_without_a_quote(frame: kw.Result) -> None:
    plain = kw.make(kw.load_job("frame.yaml", text=PAIR.rpartition("quote:")[0]))
    assert plain.cost is None
    assert json.loads(result_json(plain))["cost"] is None
    assert [p.text for p in plain.programs] == [p.text for p in frame.programs]


def test_what_was_not_proved_has_no_price() -> None:
    """The cutter's own tolerance is asked for: over budget, so nothing is released."""
    result = kw.make(kw.load_job("frame.yaml", text=PAIR + "tolerance: 0.0001\n"))
    assert not result.ok
    assert result.cost is None


REFUSED = [
    (
        {"quote": Quote(quantity=3)},
        "quote: found neither sheet_price nor hourly_rate, allowed: one of them at least",
    ),
    (
        {"sheet": {"size": None}},
        "quote.sheet_share: found used, allowed: whole, as without sheet.size nobody knows how long a sheet is",
    ),
]


@pytest.mark.parametrize(("change", "told"), REFUSED)
def test_a_quote_that_cannot_be_is_refused(change: dict[str, object], told: str) -> None:
    job = kw.load_job("frame.yaml", text=PAIR)
    sheet = change.pop("sheet", None)
    if isinstance(sheet, dict):
        change["sheet"] = attrs.evolve(job.sheet, **sheet)
    with pytest.raises(InputError) as e:
        kw.make(attrs.evolve(job, **change))
    assert [f"{f.path}: {f.message}" for f in e.value.faults] == [told]
