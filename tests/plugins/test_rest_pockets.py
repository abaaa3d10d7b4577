"""A pocket after one with a bigger cutter, the whole way: proved by the checks, which know of no rest."""

from __future__ import annotations

from typing import Any

import attrs
import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.drawing import Drawing, Loop
from kerfwright.errors import InputError
from kerfwright.job import Job, Part
from kerfwright.making import make
from kerfwright.operation import OUTER, Pocket
from kerfwright.registry import Registry
from kerfwright.selection import Choice, Selection
from kerfwright.testing.trials import MILLING, ROUTER, SHEET

REGISTRY = Registry.load()
UNPROVED = attrs.evolve(REGISTRY, checks={})
"""For what is only compared by its length."""
RECESS = Selection((Choice(layer="recess"),), "recess")
RECTANGLE = shapely.box(0, 0, 60, 40)
ISLANDS = (
    RECTANGLE - shapely.Point(20, 20).buffer(5, 32) - shapely.box(28, 12, 36, 28) - shapely.Point(50, 20).buffer(7)
)
BAYS = shapely.Polygon(
    [(0, 0), (60, 0), (60, 20), (45, 20), (45, 40), (41, 40), (41, 20), (30, 20), (30, 22), (27.5, 22), (27.5, 20), (0, 20)]
)  # fmt: skip
AREAS = {"rectangle": RECTANGLE, "islands": ISLANDS, "bays": BAYS}


def mill(diameter: float, number: int) -> Cutter:
    return Cutter(name=f"mill{number}", number=number, form="end_mill", diameter=diameter, teeth=2, flute_length=8.0)


def part(area: Any) -> Part:
    recess = [Loop(Curve.line(np.array(r.coords)), "recess") for r in (area.exterior, *area.interiors)]
    rim = Loop(Curve.line([[-9, -9], [69, -9], [69, 49], [-9, 49], [-9, -9]]), "rim")
    return Part(name="one", drawing=Drawing.nested([rim, *recess]), at=((20.0, 20.0),))


def job(area: Any, diameters: tuple[float, ...], cover: str = "contour_parallel", **more: Any) -> Job:
    mills = [mill(d, k) for k, d in enumerate(diameters, 1)]
    said = {**MILLING, "select": RECESS, "depth": 0.9, "cover": REGISTRY.strategies["cover", cover](), **more}
    pockets = tuple(Pocket(**{**said, "cutter": m}) for m in mills)
    return Job(
        name="trial", machine=ROUTER, sheet=SHEET, cutters={m.name: m for m in mills}, parts=(part(area),),
        operations=pockets, ignore=OUTER,
    )  # fmt: skip


def cut_lengths(made: Any) -> list[float]:
    return [p.cut_length_mm for p in made.programs if p.kind == "program"]


@pytest.mark.parametrize(
    ("cover", "cutmode"),
    [
        ("contour_parallel", "climb"),
        ("contour_parallel", "conventional"),
        ("bidirectional", "conventional"),
        ("contour_spiral", "climb"),
    ],
)
@pytest.mark.parametrize("name", AREAS)
def test_two_cutters_make_the_pocket_and_the_second_cuts_little(name: str, cutmode: str, cover: str) -> None:
    """Half of what it cuts alone, at most: the areas are mostly open floor."""
    made = make(job(AREAS[name], (6.0, 2.0), cover, cutmode=cutmode), REGISTRY)
    assert [f.message for f in made.findings if f.severity == "error"] == []
    assert max(p.worst_leftover_mm for p in made.parts) <= 0.005
    assert max(p.worst_gouge_mm for p in made.parts) <= 0.005
    alone = make(job(AREAS[name], (2.0,), cover, cutmode=cutmode), UNPROVED)
    assert cut_lengths(made)[1] < 0.5 * cut_lengths(alone)[0]
    (note,) = [f.message for f in made.findings if f.check == "plan"]
    assert note.endswith("only what operations[0].pocket left is cleared")


@pytest.mark.parametrize("name", AREAS)
def test_through_as_well(name: str) -> None:
    made = make(job(AREAS[name], (6.0, 2.0), depth=None), REGISTRY)
    assert [f.message for f in made.findings if f.severity == "error"] == []
    assert max(p.worst_leftover_mm for p in made.parts) <= 0.005
    alone = make(job(AREAS[name], (2.0,), depth=None), UNPROVED)
    assert cut_lengths(made)[1] < 0.5 * cut_lengths(alone)[0]


def test_three_cutters_each_take_what_the_one_before_left() -> None:
    made = make(job(ISLANDS, (6.0, 3.0, 1.5)), REGISTRY)
    assert made.ok
    assert max(p.worst_leftover_mm for p in made.parts) <= 0.005
    alone = make(job(ISLANDS, (6.0, 1.5)), UNPROVED)
    assert cut_lengths(made)[2] < cut_lengths(alone)[1]


@pytest.mark.parametrize("name", AREAS)
def test_reliefs_of_the_smaller_cutter_stay(name: str) -> None:
    relief = REGISTRY.strategies["corners", "relief"]()
    (big, small) = (o := job(AREAS[name], (6.0, 2.0))).operations
    made = make(attrs.evolve(o, operations=(big, attrs.evolve(small, corners=relief))), REGISTRY)
    assert [f.message for f in made.findings if f.severity == "error"] == []
    assert max(p.worst_leftover_mm for p in made.parts) <= 0.005


def test_a_deeper_pocket_is_cleared_whole() -> None:
    (big, small) = (o := job(RECTANGLE, (6.0, 2.0))).operations
    made = make(attrs.evolve(o, operations=(big, attrs.evolve(small, depth=1.2))), REGISTRY)
    assert made.ok
    assert not [f for f in made.findings if f.check == "plan"]
    assert cut_lengths(made)[1] > 60 * 40 / 0.8  # area over advance


def test_a_circle_that_the_bigger_cutter_has_cleared_is_left_out() -> None:
    """Only the square next to it has corners; alone it is refused: there is nothing to cut."""
    both = shapely.MultiPolygon([shapely.box(0, 0, 20, 20), shapely.Point(45, 20).buffer(10, 180)])
    made = make(job_of_many(both), REGISTRY)
    assert made.ok
    told = [f.message for f in made.findings if f.check == "plan"]
    assert [t.split(": ")[-1] for t in told] == [
        "only what operations[0].pocket left is cleared", "operations[0].pocket left nothing",
    ]  # fmt: skip
    with pytest.raises(
        InputError, match=r"found a cutter of 2 mm, but operations\[0\]\.pocket has cleared all that it"
    ):
        make(job_of_many(shapely.MultiPolygon([both.geoms[1]])), REGISTRY)


def job_of_many(areas: Any) -> Job:
    one = job(areas.geoms[0], (6.0, 2.0))
    loops = [Loop(Curve.line(np.array(g.exterior.coords)), "recess") for g in areas.geoms]
    rim = one.parts[0].drawing.loops[0]
    return attrs.evolve(
        one, parts=(attrs.evolve(one.parts[0], drawing=Drawing.nested([Loop(rim.curve, "rim"), *loops])),)
    )


def test_a_bigger_cutter_after_a_smaller_one_has_nothing_to_do() -> None:
    with pytest.raises(InputError, match="allowed: a smaller cutter, a greater depth, or other outlines"):
        make(job(RECTANGLE, (2.0, 3.0)), REGISTRY)


def test_through_again_with_a_bigger_cutter_is_refused() -> None:
    with pytest.raises(InputError, match=r"which operations\[0\]\.pocket has cut through already"):
        make(job(RECTANGLE, (2.0, 3.0), depth=None), REGISTRY)
