"""Irregular pieces packed on sheets: everything is measured here, with shapely, from the rows alone."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import affinity

import kerfwright as kw
from kerfwright.errors import InputError, NoRoom
from kerfwright.packing import Bed
from kerfwright_plugins.layout._free import rectangle
from kerfwright_plugins.layout.nest import CellNest
from kerfwright_plugins.layout.search import SearchedNest

REGISTRY = kw.Registry.load()

SHEET = (300.0, 200.0)
RIGHT = (0.0, 90.0, 180.0, 270.0)


def cut(seed: int, columns: int = 5, rows: int = 4, spread: float = 0.3) -> list[shapely.Polygon]:
    """A sheet cut into irregular quadrilaterals: the nodes of a grid moved by up to so much of its pitch."""
    rng = np.random.default_rng(seed)
    u, v = np.meshgrid(np.linspace(0, SHEET[0], columns + 1), np.linspace(0, SHEET[1], rows + 1), indexing="ij")
    du, dv = (
        rng.uniform(-spread, spread, (2, *u.shape)) * np.array([SHEET[0] / columns, SHEET[1] / rows])[:, None, None]
    )
    du[[0, -1]] = dv[:, [0, -1]] = 0
    u, v = u + du, v + dv
    corners = ((0, 0), (1, 0), (1, 1), (0, 1))
    return [
        shapely.Polygon([(u[i + a, j + b], v[i + a, j + b]) for a, b in corners])
        for i in range(columns)
        for j in range(rows)
    ]


def laid(pieces: list[shapely.Polygon], rows: np.ndarray) -> list[shapely.Polygon]:
    out = []
    for k, _, x, y, turn in rows.tolist():
        turned = affinity.rotate(pieces[int(k)], turn, origin=(0, 0))
        out.append(affinity.translate(turned, x - turned.bounds[0], y - turned.bounds[1]))
    return out


def least_distance(areas: list[shapely.Polygon]) -> float:
    return min(a.distance(b) for n, a in enumerate(areas) for b in areas[:n])


@pytest.mark.parametrize("seed", [0])  # more in tests/bench/nesting.py
def test_twenty_pieces_go_back_by_cells(seed: int) -> None:
    """Yield: area of the pieces, by the length of sheet they take times its width. A web of 0.5 mm between all. With less
    effort than the default, which tests/bench/nesting.py has.
    """
    nest = CellNest(effort=300)
    pieces = cut(seed)
    bed = Bed((shapely.box(0, 0, 900, SHEET[1]),), 0.5, RIGHT)
    rows = nest.packed(pieces, [1] * 20, bed)
    areas = laid(pieces, rows)
    used = max(a.bounds[2] for a in areas) * SHEET[1]
    assert sum(a.area for a in areas) == pytest.approx(SHEET[0] * SHEET[1])
    assert sum(a.area for a in areas) / used > 0.7
    assert least_distance(areas) >= 0.5 - 1e-6
    assert all(bed.areas[0].covers(a) for a in areas)
    assert np.array_equal(rows, nest.packed(pieces, [1] * 20, bed))


def test_by_the_library_too() -> None:
    pytest.importorskip("spyrrow")
    pieces = cut(0)
    bed = Bed((shapely.box(0, 0, 900, SHEET[1]),), 0.5, (0.0, 180.0))
    areas = laid(pieces, SearchedNest(effort=3).packed(pieces, [1] * 20, bed))
    assert (
        sum(a.area for a in areas) / (max(a.bounds[2] for a in areas) * SHEET[1]) > 0.7
    )  # 0.85: tests/bench/nesting.py
    assert least_distance(areas) >= 0.5
    assert all(bed.areas[0].covers(a) for a in areas)


@pytest.mark.parametrize("layout", [CellNest(), SearchedNest(effort=1)])
def test_around_what_lies_there_and_on_the_next_sheet(layout: CellNest | SearchedNest) -> None:
    pieces = [shapely.Polygon([(0, 0), (60, 0), (0, 40)]), shapely.box(0, 0, 25, 25)]
    there = shapely.box(40, 30, 60, 50)
    sheet = shapely.box(5, 5, 120, 80)
    bed = Bed((sheet.difference(there), sheet), 4.0, (0.0, 180.0))
    rows = layout.packed(pieces, [4, 2], bed)
    areas = np.array(laid(pieces, rows), object)
    assert sorted(rows[:, 0].tolist()) == [0] * 4 + [1] * 2
    assert set(rows[:, 1].tolist()) >= {0, 1}
    for n in sorted(set(rows[:, 1].tolist())):
        here = list(areas[rows[:, 1] == n])
        assert len(here) == 1 or least_distance(here) >= 4 - 1e-6
        assert all(sheet.buffer(1e-6).covers(a) for a in here)
        assert n or all(a.intersection(there).area < 1e-6 for a in here)


@pytest.mark.parametrize("layout", [CellNest(), SearchedNest(effort=1)])
def test_what_does_not_fit_is_refused(layout: CellNest | SearchedNest) -> None:
    bed = Bed((shapely.box(0, 0, 100, 50),), 1.0, (0.0, 180.0))
    with pytest.raises(NoRoom, match="on an empty sheet in a turn allowed"):
        layout.packed([shapely.box(0, 0, 40, 60)], [1], bed)
    assert len(layout.packed([shapely.box(0, 0, 40, 60)], [1], Bed(bed.areas, 1.0, (90.0,)))) == 1


def test_the_largest_free_rectangle_by_hand() -> None:
    """A sheet of 100 x 60 with a keepout of 20 x 20 in its middle: left and right of it 40 x 60, above and below 100 x 20."""
    area = shapely.box(0, 0, 100, 60).difference(shapely.box(40, 20, 60, 40))
    x0, y0, x1, y1 = rectangle(area)
    assert (x1 - x0) * (y1 - y0) == pytest.approx(2400)


JOB = """
job: tags
machine: light-router
sheet:
  material: gfrp
  size: [120, 80]
  thickness: 1.5
  breakthrough: 0.3
  board: 12
  hold: tape
  GRAIN
  keepout: [{circle: {center: [60, 40], diameter: 10}, height: 4}]
cutters:
  mill: {form: end_mill, flutes: compression, diameter: 2, teeth: 2, flute_length: 8}
parts:
  - name: wedge
    layout: {nest: {count: 9, gap: 3}}
    shapes:
      - polygon: [[0, 0], [40, 4], [34, 20], [0, 12]]
      - circle: {center: [8, 6], diameter: 4}
  - {name: fixed, at: [90, 50], shapes: [rectangle: {corner: [0, 0], size: [20, 20]}]}
operations:
  - profile: {cutter: mill, select: inner}
  - profile: {cutter: mill, select: outer}
"""


@pytest.mark.parametrize(
    ("grain", "turns"), [("", {0, 90, 180, 270}), ("grain: {along: 90 deg, turns: [0, 180]}", {90, 270})]
)
def test_a_job_goes_the_whole_way_on_as_many_sheets_as_it_takes(grain: str, turns: set[int]) -> None:
    """Between two outlines a kerf, the web, a kerf; to a keepout a kerf and the web."""
    text = JOB.replace("GRAIN", grain)
    text = text if not grain else text.replace("at: [90, 50],", "at: [90, 50], turn: 90,")
    result = kw.make(kw.load_job("tags.yaml", REGISTRY, text=text), REGISTRY)
    assert result.ok, result.findings
    assert {p.sheet for p in result.programs} == {s.number for s in result.setups}
    assert len(result.setups) > 1
    wedges = [(s, p) for s in result.setups for p in s.pieces if p.part == "wedge"]
    assert [p.copy for _, p in wedges] == list(range(1, 10))
    assert {p.turn for _, p in wedges} <= turns
    for setup in result.setups:
        areas = [p.loops[0].curve.polygon() for p in setup.pieces]
        assert least_distance(areas) >= 2 + 3 + 2 - 1e-3
        assert min(a.distance(k) for a in areas for k, _ in setup.keepouts) >= 2 + 3 - 1e-3
        assert min(setup.stock.exterior.distance(a) for a in areas) >= 2 + 3 - 1e-3


FAULTS = [
    # edit, parts of the message
    (("  size: [120, 80]\n", ""), "sheet.size: found none, allowed: the sheet's size"),
    (("  - name: wedge", "  - name: wedge\n    at: [5, 5]"), "parts[0].at: found a place, allowed: none"),
    (("  - name: wedge", "  - name: wedge\n    turn: 5"), "parts[0].turn: found a turn, allowed: none"),
    (("[40, 4]", "[140, 4]"), "parts[0].layout: not every piece fits on an empty sheet"),
    (("count: 9", "count: 0"), "found 0"),
]


@pytest.mark.parametrize(("edit", "message"), FAULTS)
def test_a_nest_that_cannot_be_is_told(edit: tuple[str, str], message: str) -> None:
    with pytest.raises(InputError) as told:
        kw.make(kw.load_job("tags.yaml", REGISTRY, text=JOB.replace("GRAIN", "").replace(*edit)), REGISTRY)
    assert message in str(told.value)
