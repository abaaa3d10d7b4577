"""Bridges across a wide pocket: as wide as declared from end to end, whatever clears the pocket; none into a bay."""

from __future__ import annotations

import math
from typing import Any

import attrs
import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Loop
from kerfwright.job import Job, Part
from kerfwright.making import make
from kerfwright.operation import OUTER, Pocket
from kerfwright.proof import prove, reading_of
from kerfwright.registry import Registry
from kerfwright.selection import Choice, Selection
from kerfwright.testing import Outcome, all_of_them
from kerfwright.testing.trials import MILL, MILLING, ROUTER, SHEET, job_of, tried

REGISTRY = Registry.load()
GEAR = next(s for s in all_of_them() if s.name == "gear")
COVERS = ["contour_parallel", "bidirectional", "contour_spiral"]
WIDTH, THICKNESS = 0.8, 0.4


def bridges(name: str, **more: Any) -> Any:
    return REGISTRY.strategies["bridges", name](width=WIDTH, thickness=THICKNESS, **more)


def on_gear(*angles: float) -> Outcome:
    """Bridges at points of the bore, degrees: its bays lie at 7.5 and each 30 degrees further, its lands between them."""
    points = tuple((4 * math.cos(math.radians(a)), 4 * math.sin(math.radians(a))) for a in angles)
    return tried(job_of(GEAR, "pocket", [bridges("at", at=points)]), REGISTRY)


@pytest.mark.parametrize(("cover", "cutmode"), [*zip(COVERS, ("climb", "conventional", "climb"), strict=True)])
def test_a_gear_with_an_island_is_clean(cover: str, cutmode: str) -> None:
    """All three were stopped by the proof once: a bridge of 10 mm, rows that left more beside it, and the teeth's bays."""
    chosen = [bridges("spacing"), REGISTRY.strategies["cover", cover]()]
    assert tried(job_of(GEAR, "pocket", chosen, cutmode), REGISTRY) == Outcome("clean", "", pytest.approx(0, abs=5e-3), pytest.approx(0, abs=5e-3))  # type: ignore[arg-type]  # fmt: skip


def test_to_a_land_yes_into_a_bay_no() -> None:
    assert on_gear(22.5, 202.5).verdict == "clean"
    into = on_gear(7.5, 187.5)
    assert into.verdict == "refused"
    assert "ends in a bay where the cutter cannot go around it" in into.reason
    assert "allowed: bridges elsewhere, or a smaller cutter" in into.reason


def job(width: float = WIDTH, cover: str = "contour_parallel", cutmode: str = "climb") -> Job:
    """A pocket of 34 x 28 mm through the sheet around an island of 12 x 12: 8 mm and 11 mm of floor beside it."""
    boxes = [(-8, -8, 42, 36), (0, 0, 34, 28), (11, 8, 23, 20)]
    loops = [
        Loop(Curve.line(np.array(shapely.box(*b).exterior.coords)), "rim" if k == 0 else "")
        for k, b in enumerate(boxes)
    ]
    said = {**MILLING, "cover": REGISTRY.strategies["cover", cover](), "cutmode": cutmode}
    held = attrs.evolve(bridges("count", count=2), width=width)
    inside = Selection((Choice(within=(-1.0, -1.0, 35.0, 29.0)),), "inside")
    return Job(
        name="trial", machine=ROUTER, sheet=attrs.evolve(SHEET, hold="screws"), cutters={"mill": MILL},
        parts=(Part(name="one", drawing=Drawing.nested(loops), at=((20.0, 20.0),)),),
        operations=(Pocket(**said, select=inside, bridges=held),), ignore=OUTER,
    )  # fmt: skip


def standing(made: Any) -> Any:
    """What is left in the pocket below the bridges' top: by shapely from the moves of the text, zero at the front left."""
    top = -1.5 + THICKNESS
    c = next(p for p in made.programs if p.kind == "program").moves.curve
    low = np.flatnonzero(np.maximum(c.nodes[:-1, 2], c.nodes[1:, 2]) < top - 1e-6)
    ways = [Curve(c.nodes[k : k + 2], c.turns[k : k + 1]).path(0.0005) for k in low if c.lengths[k] > 1e-9]
    gone = shapely.union_all(shapely.buffer(np.array(ways, object), 1.0, quad_segs=64))
    return shapely.difference(shapely.box(20, 20, 70, 64), gone)


@pytest.mark.parametrize("cover", COVERS)
def test_the_island_hangs_on_two_strips_of_the_declared_width(cover: str) -> None:
    """From its middle to the wall both are 0.8 mm wide, within 0.02: shrunk by 0.39 on both sides they still hold it, by 0.41
    they do not; and nothing else is left but the fillets of a cutter of 1 mm radius.
    """
    made = make(job(cover=cover), REGISTRY)
    assert [f.message for f in made.findings if f.severity == "error"] == []
    left = standing(made)
    for by, held in ((0.39, True), (0.41, False)):
        parts = shapely.get_parts(shapely.buffer(left, -by, quad_segs=16, join_style="mitre"))
        with_island = [p for p in parts if p.contains(shapely.Point(45, 42))]
        assert len(with_island) == 1
        assert with_island[0].contains(shapely.Point(24, 24)) == held
    floor = shapely.difference(shapely.box(28, 28, 62, 56), shapely.box(39, 36, 51, 48))
    strips = shapely.get_parts(
        shapely.difference(shapely.intersection(left, floor), shapely.buffer(floor.boundary, 1.01))
    )
    assert len(strips) == 2
    assert [g.area / (max(np.ptp(g.bounds[0::2]), np.ptp(g.bounds[1::2]))) for g in strips] == pytest.approx(
        [0.8, 0.8], abs=0.02
    )


def test_strips_wider_than_declared_are_no_bridges() -> None:
    """The program of bridges 2.5 mm wide, proved for a job that declares 0.8: what stands across the pocket is left over."""
    wide = make(job(width=2.5), REGISTRY)
    assert wide.ok
    declared = make(job(), REGISTRY)
    (setup,) = declared.setups
    readings = tuple(reading_of(p.file, p.kind, p.text, p.dialect, setup.job, REGISTRY) for p in wide.programs)
    found = [f.check for f in prove(setup, readings, REGISTRY).findings if f.severity == "error"]
    assert "leftover" in found or "not_through" in found
