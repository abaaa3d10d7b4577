"""Sizes of a part: which are measured, and the limits that a number or a class of ISO 2768-1 gives them."""

from __future__ import annotations

import pytest

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.inspecting.rows import inspections
from kerfwright.inspecting.sizes import to_measure
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
    assert job(hole(10, 10, 3.2), tolerance="c").allowed(3.00000001) == 0.2  # a circle's diameter is fitted: still 3 mm
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


GRID = [hole(8 + 10 * x, 8 + 8 * y, 3.2) for y in range(4) for x in range(6)]
OPENING = "rectangle: {corner: [50, 15], size: [24, 20], radius: 2}"
TURNED = "slot: {from: [20, 20], to: [32, 36], width: 5}"  # 20 mm between its centers, along (3, 4) / 5
SIZES = {
    # name: (shapes beside or instead of 80 x 50, kind, noun, nominal, along: worked out by hand)
    "plain": ([], ["outside over all 80 0", "outside over all 50 90"]),
    "slot": ([SLOT], ["outside over all 80 0", "outside over all 50 90", "inside opening 27 0", "inside opening 7 90"]),
    "opening": (
        [OPENING],
        ["outside over all 80 0", "outside over all 50 90", "inside opening 24 0", "inside opening 20 90"],
    ),
    "turned slot": (
        [TURNED],
        ["outside over all 80 0", "outside over all 50 90", "inside opening 25 53.13", "inside opening 5 143.13"],
    ),
    "one hole": (
        [hole(10, 10, 6)],
        ["outside over all 80 0", "outside over all 50 90", "inside hole 6 0", "inside hole 6 90"],
    ),
    "two in a row": (
        [hole(10, 10, 4), hole(50, 10, 4)],
        [
            "outside over all 80 0", "outside over all 50 90", "inside hole 4 0", "inside hole 4 90", "centers centers 40 0",
        ],
    ),
    "askew": (
        [hole(10, 10, 4), hole(40, 30, 6)],  # 30 and 20: 36.0555 at 33.69 deg
        [
            "outside over all 80 0", "outside over all 50 90", "inside hole 4 0", "inside hole 4 90", "inside hole 6 0",
            "inside hole 6 90", "centers centers 36.0555 33.69",
        ],
    ),
    "24 holes": (
        GRID,  # 50 x 24 between the outer ones: 55.4617 at 25.641 deg
        [
            "outside over all 80 0", "outside over all 50 90", *["inside hole 3.2 0", "inside hole 3.2 90"] * 4,
            *["centers centers 50 0"] * 2, "centers centers 10 0", *["centers centers 24 90"] * 2, "centers centers 8 90",
            "centers centers 55.4617 25.641", "centers centers 55.4617 154.359",
        ],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("shapes", "expected"), SIZES.values(), ids=SIZES.keys())
def test_which_sizes_are_measured(shapes: list[str], expected: list[str]) -> None:
    drawing = job(*shapes).parts[0].drawing
    found = [f"{s.kind} {s.noun} {round(s.nominal, 4):g} {round(s.along, 3):g}" for s in to_measure(drawing)]
    assert found == expected
    assert all(s.square for s in to_measure(drawing))


def alone(path: str) -> list[str]:
    """Sizes of one outline, those that tell nothing in brackets."""
    said = JOB.replace("{shapes}", f"{{{{path: '{path}'}}}}").format(tolerance=0.1, drill=3)
    drawing = kw.load_job("rail.yaml", REGISTRY, text=said).parts[0].drawing
    names = [f"{s.noun} {round(s.nominal, 3):g} {s.along:g}" for s in to_measure(drawing)]
    return [n if s.square else f"({n})" for n, s in zip(names, to_measure(drawing), strict=True)]


OUTER = {
    "fork": ("M0 0 H60 V40 H40 V10 H25 V40 H0 Z", ["over all 60 0", "over all 40 90", "gap 15 0"]),
    "step": ("M0 0 H60 V20 H30 V40 H0 Z", ["over all 60 0", "over all 40 90"]),
    "triangle": ("M0 0 H60 L0 40 Z", ["(over all 60 0)", "(over all 40 90)"]),
    "round ends": ("M10 0 H50 A10 10 0 0 1 50 20 H10 A10 10 0 0 1 10 0 Z", ["over all 60 0", "over all 20 90"]),
    "hook": (  # a C: what lies between the lips is no gap of the same width as behind them
        "M0 0 H60 V18 H50 V10 H10 V40 H50 V32 H60 V50 H0 Z",
        ["over all 60 0", "over all 50 90", "gap 40 0", "gap 30 90", "gap 14 90"],
    ),
}


@pytest.mark.parametrize(("path", "expected"), OUTER.values(), ids=OUTER.keys())
def test_sizes_of_an_outer_outline(path: str, expected: list[str]) -> None:
    assert alone(path) == expected


def test_of_many_alike_eight_are_spread_over_the_part() -> None:
    """24 in four rows of six, counted from 0: the nearest to 23/7 times 0 to 7 are 0, 3, 7, 10, 13, 16, 20 and 23."""
    sizes = [s for s in to_measure(job(*GRID).parts[0].drawing) if s.noun == "hole"]
    assert {s.alike for s in sizes} == {24}
    places = [(8, 8), (38, 8), (18, 16), (48, 16), (18, 24), (48, 24), (28, 32), (58, 32)]
    assert [s.middle for s in sizes] == [pytest.approx(p) for p in places]


PLATE = """\
job: plate
machine: light-router
tolerance: m
sheet: {material: gfrp, size: [140, 120], thickness: 3, breakthrough: 0.4, board: 12, hold: tape}
cutters:
  mill: {form: end_mill, flutes: burr, diameter: 2, measured: 1.97, teeth: 6, flute_length: 9}
  rough: {form: end_mill, flutes: burr, diameter: 3, teeth: 6, flute_length: 9}
parts:
  - name: plate
    at: [20, 20]
    turn: 90
    shapes:
      - rectangle: {corner: [0, 0], size: [80, 50], layer: edge}
      - rectangle: {corner: [10, 10], size: [40, 30], radius: 3, layer: recess}
      - circle: {center: [30, 25], diameter: 12, layer: recess}
      - circle: {center: [30, 25], diameter: 3.4}
      - circle: {center: [65, 25], diameter: 10}
operations:
  - pocket: {cutter: rough, select: {layer: recess}, depth: 1, allowance: {side: 0.3}}
  - pocket: {cutter: mill, select: {layer: recess}, depth: 1}
  - profile: {cutter: mill, select: {circles: 3.4}}
  - profile: {cutter: rough, select: {circles: 10}}
  - profile: {cutter: mill, select: {layer: edge}}
output: nist6556
"""


def test_rows_know_limits_cutter_side_and_direction() -> None:
    """A recess with a round island around a hole, turned by 90 deg. ISO 2768-m by hand: 12 ± 0.2, 3.4 ± 0.1, 40 ± 0.3."""
    found = kw.load_job("plate.yaml", REGISTRY, text=PLATE)
    (one,) = inspections(found, place(found, REGISTRY))
    rows = [
        (r.name, r.size.kind, r.along, round(r.upper - r.size.nominal, 6), r.cutter and r.cutter.name, r.note)
        for r in one.rows
    ]
    assert (one.copy, one.sheet, one.turn) == (1, 1, 90)
    assert rows == [
        ("1 over all 80", "outside", 90, 0.3, "mill", ""),
        ("2 over all 50", "outside", 0, 0.3, "mill", ""),
        ("3 disc 12", "outside", 90, 0.2, "mill", "1 mm deep"),
        ("4 disc 12", "outside", 0, 0.2, "mill", "1 mm deep"),
        ("5 opening 40", "inside", 90, 0.3, "mill", "1 mm deep"),
        ("6 opening 30", "inside", 0, 0.2, "mill", "1 mm deep"),
        ("7 hole 3.4", "inside", 90, 0.1, "mill", "M3 medium, ISO 273"),
        ("8 hole 3.4", "inside", 0, 0.1, "mill", "M3 medium, ISO 273"),
        ("9 hole 10", "inside", 90, 0.2, "rough", "M8 coarse, ISO 273"),
        ("10 hole 10", "inside", 0, 0.2, "rough", "M8 coarse, ISO 273"),
    ]
    hole_row = one.rows[6]
    assert (hole_row.lower, hole_row.upper) == (pytest.approx(3.3), pytest.approx(3.5))
    assert hole_row.zone(0.03) == (pytest.approx(3.33), pytest.approx(3.47))
    assert hole_row.zone(0.1) is None  # as wide as the tolerance: no size is proved


def fitted(fits: str, *shapes: str) -> kw.Job:
    text = JOB.format(tolerance=0.1, drill=3.2, shapes=", ".join(f"{{{s}}}" for s in (RAIL, *shapes)))
    text = text.replace("circles: [1, 5]", "circles: 3.2").replace("at: [20, 20],", f"at: [20, 20], fits: [{fits}],")
    return kw.load_job("rail.yaml", REGISTRY, text=text)


FITS = [
    # ISO 286-1, from memory: IT12 of 3 to 6 mm is 0.12, IT7 0.012; of 6 to 10 mm IT9 is 0.036
    ("{circles: 5, class: H12}", 5, 5.0, 5.12),
    ("{circles: 5, class: H7}", 5, 5.0, 5.012),
    ("{circles: 5.06, nominal: 5, class: H12}", 5.06, 5.0, 5.12),
    ("{circles: 8, class: H9}", 8, 8.0, 8.036),
]


@pytest.mark.parametrize(("fits", "drawn", "least", "most"), FITS)
def test_a_fit_gives_a_hole_limits_of_its_own(fits: str, drawn: float, least: float, most: float) -> None:
    """On sheet and form; other sizes keep the job's."""
    one = fitted(fits, hole(10, 10, 3.2), hole(25, 25, drawn))
    (found,) = inspections(one, place(one, REGISTRY))
    rows = [r for r in found.rows if r.size.noun == "hole"]
    mine = [r for r in rows if abs(r.size.nominal - drawn) < 1e-6]
    assert {(round(r.lower, 6), round(r.upper, 6)) for r in mine} == {(least, most)}
    assert all(r.note.startswith(f"H{fits.rpartition('H')[2].rstrip('}')}, ISO 286") for r in mine)
    assert {(round(r.lower, 6), round(r.upper, 6)) for r in rows if r not in mine} == {(3.1, 3.3)}


def test_a_fit_that_paths_cannot_keep_is_told() -> None:
    """Drawn at its least, 5, any error inward misses H12; drawn in the middle, 0.06 mm are left on each side. H7 is never kept."""

    def told(fits: str, drawn: float) -> list[str]:
        result = kw.make(fitted(fits, hole(10, 10, 3.2), hole(25, 25, drawn)), REGISTRY)
        assert result.ok
        return [f.message for f in result.findings if f.check == "tolerance" and f.severity == "warning"]

    (text,) = told("{circles: 5, class: H12}", 5)
    assert text.startswith(
        "part 'rail', holes of 5 mm, H12: from 5.000 to 5.120 mm; the paths aim at 5, 0.000 mm from a limit"
    )
    assert "draw it at 5.060 with `nominal: 5`" in text
    assert told("{circles: 5.06, nominal: 5, class: H12}", 5.06) == []
    (text,) = told("{circles: 5.006, nominal: 5, class: H7}", 5.006)
    assert "the paths aim at 5.006, 0.006 mm from a limit" in text
    (text,) = told("{circles: 4.8, nominal: 5, class: H12}", 4.8)  # to be reamed, or a slip
    assert "from 5.000 to 5.120 mm; the paths aim at 4.8, 0.200 mm outside of them, and" in text
    (text,) = told("{circles: 5.5, nominal: 5, class: H12}", 5.5)
    assert "from 5.000 to 5.120 mm; the paths aim at 5.5, 0.380 mm outside of them" in text


FIT_FAULTS = [
    ("{circles: 4, class: H12}", "parts[0].fits[0].circles: found 4 mm, allowed: a circle of 'rail': 3.2, 8"),
    ("{circles: 3.2, class: H13}", "parts[0].fits[0].class: found 'H13', allowed: one of H6, H7, H8, H9, H10, H11, H12"),
    ("{circles: 3.2, nominal: 5, class: H7}", "parts[0].fits[0].nominal: found 5 mm, allowed: within 1 mm of circles, 3.2 mm"),
    ("{circles: 3.2}", "parts[0].fits[0].class: found nothing, allowed: one of H6"),
    ("{circles: 260, class: H7}", "parts[0].fits[0]: found 260 mm, allowed: above 0 and at most 250 mm"),
]  # fmt: skip


@pytest.mark.parametrize(("fits", "message"), FIT_FAULTS)
def test_a_fit_that_cannot_be_is_told(fits: str, message: str) -> None:
    with pytest.raises(InputError) as e:
        place(fitted(fits, hole(10, 10, 3.2), hole(25, 25, 8)), REGISTRY)
    assert [message in str(f) for f in e.value.faults] == [True], e.value.faults
