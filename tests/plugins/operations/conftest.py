"""A plate with operations on it, made and proved; its text can be spoiled and proved again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from attrs import define

import kerfwright as kw
from kerfwright.errors import InputError
from kerfwright.evidence import Evidence
from kerfwright.placing import place
from kerfwright.planning import plan_setup, walk_round
from kerfwright.proof import Proof, prove, reading_of
from kerfwright.setup import Setup

JOB = """
job: hatch
machine: light-router
sheet: {{material: cfrp, size: [120, 90], thickness: {thickness}, breakthrough: 0.5, board: 12, hold: {hold}{sheet}}}
cutters:
  mill: {{form: end_mill, flutes: compression, diameter: 2.0, teeth: 2, flute_length: 14}}
  fine: {{form: end_mill, flutes: compression, diameter: 0.8, teeth: 2, flute_length: 4}}
  drill: {{form: drill, diameter: {drill}, point_angle: 118, flute_length: 16}}
  vee: {{form: chamfer_mill, {vee}}}
parts:
  - name: hatch
    at: {at}
    turn: {turn}
    shapes: {shapes}
operations:
{operations}
"""
VEE = "point_angle: 90, diameter: 6, tip_diameter: 0.2, flute_length: 5"
RATES = "spindle: 18000, feed: 400, plunge_feed: 100, axial_depth: {}"


@define(eq=False)
class Bench:
    """Text of a job with doubled braces in its template; what is not said is harmless."""

    registry: kw.Registry

    def text(self, *operations: str, shapes: list[str], **said: Any) -> str:
        values: dict[str, Any] = {
            "thickness": 3, "hold": "screws", "sheet": "", "drill": 3.2, "vee": VEE, "at": "[30, 20]", "turn": 0, **said,
        }  # fmt: skip
        lines = "\n".join(f"  - {one}" for one in operations)
        return JOB.format(operations=lines, shapes="[" + ", ".join(f"{{{one}}}" for one in shapes) + "]", **values)

    def rates(self, axial: float = 2.0) -> str:
        return RATES.format(axial)

    def setup(self, text: str) -> Setup:
        (setup,) = place(kw.load_job("hatch.yaml", self.registry, text=text), self.registry)
        return setup

    def programs(self, setup: Setup) -> list[tuple[str, str, str]]:
        planned = plan_setup(setup, self.registry)
        return [
            (p.name, p.kind, kw.write(p, "nist6556", self.registry)) for p in (*planned, walk_round(setup, planned))
        ]

    def prove(self, setup: Setup, texts: list[tuple[str, str, str]]) -> Proof:
        readings = [reading_of(n, k, t, "nist6556", setup.job, self.registry) for n, k, t in texts]
        return prove(setup, readings, self.registry)

    def clean(self, text: str) -> tuple[Setup, list[tuple[str, str, str]], Evidence]:
        """Made without an error; what its text cuts."""
        setup = self.setup(text)
        texts = self.programs(setup)
        proof = self.prove(setup, texts)
        assert [f.message for f in proof.findings if f.severity == "error"] == []
        assert all(p.worst_gouge_mm <= 0.005 and p.worst_leftover_mm <= 0.005 for p in proof.parts)
        readings = [reading_of(n, k, t, "nist6556", setup.job, self.registry) for n, k, t in texts]
        return setup, texts, Evidence(setup, tuple(readings))

    def codes(
        self, setup: Setup, texts: list[tuple[str, str, str]], which: str, change: Callable[[str], str]
    ) -> set[str]:
        """Errors after one program was changed; the change must change something."""
        out = [(n, k, change(t) if which in n else t) for n, k, t in texts]
        assert out != texts
        return {f.check for f in self.prove(setup, out).findings if f.severity == "error"}

    def refused(self, text: str) -> list[str]:
        with pytest.raises(InputError) as e:
            self.programs(self.setup(text))
        return [str(f) for f in e.value.faults]


@pytest.fixture(scope="session")
def bench() -> Bench:
    return Bench(kw.Registry.load())


def hull_of(gone: shapely.Geometry, x: float, y: float, reach: float) -> np.ndarray:
    """Distances from a place of the edge of what is gone around it, within reach."""
    part = next(p for p in shapely.get_parts(gone) if p.distance(shapely.Point(x, y)) < reach)
    return np.hypot(*(shapely.get_coordinates(part.exterior) - [x, y]).T)


@pytest.fixture(scope="session")
def around() -> Callable[..., np.ndarray]:
    return hull_of
