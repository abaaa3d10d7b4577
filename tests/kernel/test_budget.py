"""The tolerance budget: its numbers are what the code does at most. Measured here on rings, texts and examples by other ways."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import numpy as np
import pytest
import shapely

import kerfwright as kw
from kerfwright.budget import MICROMETER, Budget, budgets
from kerfwright.curve import Curve
from kerfwright.offset import offset, recover, rings_of
from kerfwright.outlines.bends import bezier, ellipse
from kerfwright.program import Motion
from kerfwright.resultfile import result_json
from kerfwright.text import dialect_named

EXAMPLES = Path(__file__).parents[2] / "examples"
CAUSES = ("flattening", "corners", "arc recovery", "rounding", "chords", "cutter", "bending")


@pytest.fixture(scope="module")
def registry() -> kw.Registry:
    return kw.Registry.load()


def made(name: str, registry: kw.Registry, dialect: str | None = None) -> kw.Result:
    job = kw.load_job(EXAMPLES / name / f"{name}.yaml", registry)
    return kw.make(attrs.evolve(job, dialect=dialect or job.dialect), registry)


def most(b: Budget, cause: str) -> float:
    (entry,) = (e for e in b.entries if e.cause == cause)
    assert entry.most is not None
    return entry.most


@pytest.fixture(scope="module")
def spacers(registry: kw.Registry) -> kw.Result:
    return made("spacers", registry)


def test_every_cause_is_named_and_what_is_not_known_is_said(spacers: kw.Result) -> None:
    (b,) = spacers.budgets
    assert tuple(e.cause for e in b.entries) == CAUSES
    assert b.unknown == ("cutter",)
    assert b.total == pytest.approx(sum(most(b, c) for c in CAUSES if c != "cutter"))
    assert b.tolerance == 0.1


def test_flattening_is_at_most_its_entry(spacers: kw.Result) -> None:
    """A long ellipse and a Bezier curve against points of their formulas."""
    u, v = np.array([40.0, 0.0]), np.array([0.0, 15.0])
    t = np.linspace(0, 2 * np.pi, 40_001)
    points = np.cos(t)[:, None] * u + np.sin(t)[:, None] * v
    path = ellipse((0, 0), u, v, 0, 2 * np.pi).path(0.00001)
    worst = float(shapely.distance(path, shapely.points(points)).max())
    p = np.array([[0, 0], [30, 50], [60, -40], [80, 10]], float)
    s = np.linspace(0, 1, 20_001)[:, None]
    curve = (1 - s) ** 3 * p[0] + 3 * s * (1 - s) ** 2 * p[1] + 3 * s**2 * (1 - s) * p[2] + s**3 * p[3]
    worst = max(worst, float(shapely.distance(bezier(p).path(), shapely.points(curve)).max()))
    assert 0.0002 < worst <= most(spacers.budgets[0], "flattening") * 1.0001


def test_corners_and_arc_recovery_are_at_most_their_entries(shape: shapely.Polygon, spacers: kw.Result) -> None:
    b = spacers.budgets[0]
    rings = rings_of(offset(shape, 1.5))
    for ring, curve in zip(rings, recover(rings), strict=True):
        path, line = curve.path(0.0001), shapely.LineString(ring.coords)
        for one, other in ((path, line), (line, path)):
            spots = shapely.points(shapely.get_coordinates(shapely.segmentize(one, 0.2))[::2])
            shapely.prepare(other)
            assert shapely.distance(spots, other).max() <= most(b, "arc recovery") + 0.0001
    # from the outline itself, where no arc was recovered: chords of round corners lie inside by no more than their entry
    spots = shapely.points(shapely.get_coordinates(shapely.segmentize(rings, 0.1)))
    shapely.prepare(shape)
    away = shapely.distance(spots, shape)
    assert away.max() <= 1.5 + 1e-6
    assert away.min() >= 1.5 - most(b, "corners") - 1e-6


@pytest.mark.parametrize("name", ["nist6556", "nist6556-lines"])
def test_rounding_and_chords_are_at_most_their_entries(name: str, registry: kw.Registry, spacers: kw.Result) -> None:
    """The plan's curves against what is read back from the text, in plan."""
    (b,) = budgets(spacers.job, dialect_named(name, registry).traits)
    programs = [p.program for p in spacers.programs if p.kind == "program"]
    worst, count = 0.0, 0
    for program in programs:
        assert program is not None
        moves = kw.read(kw.write(program, name, registry), name, registry)
        known = np.flatnonzero(np.isfinite(moves.curve.nodes).all(axis=1))[0]
        back = Curve(moves.curve.nodes[known:], moves.curve.turns[known:])
        meant = Curve.join([s.curve for s in program.steps if isinstance(s, Motion)])
        there = shapely.STRtree(shapely.linestrings(_pairs(back.flat(0.00001)[0][:, :2])))
        spots = shapely.points(meant.flat(0.0001)[0][::3, :2])
        _, d = there.query_nearest(spots, return_distance=True, all_matches=False)
        worst, count = max(worst, float(d.max())), count + len(spots)
    allowed = most(b, "rounding") + (most(b, "chords") if name.endswith("lines") else 0.0)
    assert count > 1000
    assert 0.0003 < worst <= allowed, (worst, allowed)


def _pairs(p: np.ndarray) -> np.ndarray:
    moved = np.abs(np.diff(p, axis=0)).max(axis=1) > 1e-9
    return np.stack([p[:-1][moved], p[1:][moved]], axis=1)


@pytest.mark.parametrize("name", ["gauge-plate", "mast-clamp", "vane-arm", "spacers"])
def test_what_the_proof_measured_is_within_what_is_known_together(name: str, registry: kw.Registry) -> None:
    """Distances measured on the sweep of the text: gouge and leftover, against drawing, offset, recovery and text together."""
    result = made(name, registry)
    total = {b.part: b.total for b in result.budgets}
    assert result.parts
    for p in result.parts:
        assert 0 <= p.worst_gouge_mm <= total[p.name], p
        assert 0 <= p.worst_leftover_mm <= total[p.name], p


def test_inches_round_coarser(registry: kw.Registry, spacers: kw.Result) -> None:
    traits = dialect_named("nist6556", registry).traits
    mm, inch = (most(budgets(spacers.job, attrs.evolve(traits, units=u))[0], "rounding") for u in ("mm", "inch"))
    assert inch == pytest.approx(25.4 * mm)


def test_a_measured_cutter_counts(registry: kw.Registry, spacers: kw.Result) -> None:
    cutters = {k: attrs.evolve(c, measured=3.17) for k, c in spacers.job.cutters.items()}
    (b,) = budgets(attrs.evolve(spacers.job, cutters=cutters), dialect_named("nist6556", registry).traits)
    assert most(b, "cutter") == MICROMETER / 2
    assert b.unknown == ("bending",)


def test_a_tolerance_that_cannot_be_kept_is_refused(registry: kw.Registry, spacers: kw.Result) -> None:
    result = kw.make(attrs.evolve(spacers.job, tolerance=0.003), registry)
    (found,) = (f for f in result.findings if f.check == "budget")
    assert not result.ok
    assert found.severity == "error"
    assert "asked for is 0.003 mm" in found.message
    assert "part 'spacer'" in found.message


def test_it_stands_in_the_result(spacers: kw.Result) -> None:
    part = json.loads(result_json(spacers))["parts"][0]
    assert [e["cause"] for e in part["budget"]["entries"]] == list(CAUSES)
    assert part["budget"]["not_known"] == ["cutter"]
    assert part["budget"]["known_mm"] < part["budget"]["tolerance_mm"]
