"""A small workshop for tests of the kernel: a machine, two cutters, outlines, and strategies that answer nothing."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from attrs import define

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.drawing import Drawing, Loop
from kerfwright.errors import InputError
from kerfwright.job import Job, Part
from kerfwright.machine import Axes, Machine, Spindle
from kerfwright.material import Material
from kerfwright.operation import INNER, OUTER, Drill, Pocket, Profile
from kerfwright.placing import place
from kerfwright.placing.defaults import NAMES
from kerfwright.registry import Registry
from kerfwright.selection import Choice, Selection
from kerfwright.setup import Setup
from kerfwright.sheet import Sheet, Thickness
from kerfwright.strategy import KINDS, Bridges, Layout


@define(frozen=True, kw_only=True)
class Links(Bridges):
    name = "links"


class Placed(Layout):
    name = "placed"

    def places(self, outline: Any, at: Any, turn: float) -> Any:
        return np.array([[x, y, turn] for x, y in at])


class Workshop:
    """Builds jobs; what is not said is harmless. Sheet 300 x 200 x 2 mm on a board of 12 mm."""

    mill = Cutter(name="mill", number=1, form="end_mill", flutes="compression", diameter=2.0, flute_length=8.0)
    drill = Cutter(name="drill", number=2, form="drill", diameter=1.6, point_angle=118.0, flute_length=12.0)
    machine = Machine(
        name="bench router",
        travel=(400.0, 300.0, 60.0),
        spindle=Spindle(least=6000, most=24000),
        feed=Axes(xy=3000, z=1000),
        rapid=Axes(xy=4000, z=1500),
    )
    bridges = Links(width=0.8, thickness=0.4)
    inner, outer = INNER, OUTER

    def __init__(self) -> None:
        self.registry = Registry()
        for kind, name in NAMES.items():
            base = Placed if kind == "layout" else KINDS[kind]
            self.registry.strategies[kind, name] = type(name, (base,), {"name": name})

    def box(self, x: float, y: float, width: float, height: float, layer: str = "") -> Loop:
        p = [[x, y], [x + width, y], [x + width, y + height], [x, y + height], [x, y]]
        return Loop(Curve.line(p), layer)

    def hole(self, x: float, y: float, diameter: float, layer: str = "") -> Loop:
        return Loop(Curve.circle(x, y, diameter / 2), layer)

    def part(self, name: str, *loops: Loop, at: Any = ((20.0, 20.0),), **more: Any) -> Part:
        return Part(name=name, drawing=Drawing.nested(loops), at=at, **more)

    def plate(self, **more: Any) -> Part:
        """60 x 40 mm with a hole of 1.6 mm at (10, 5)."""
        return self.part(more.pop("name", "plate"), self.box(0, 0, 60, 40), self.hole(10, 5, 1.6), **more)

    def select(self, *choices: dict[str, Any], text: str = "") -> Selection:
        return Selection(tuple(Choice(**c) for c in choices), text)

    def _rates(self) -> dict[str, float]:
        return {"spindle": 18000.0, "feed": 500.0, "plunge_feed": 100.0, "axial_depth": 1.0, "radial_depth": 0.4}

    def profile(self, **more: Any) -> Profile:
        return Profile(**{"cutter": self.mill, "bridges": self.bridges, **self._rates(), **more})

    def pocket(self, **more: Any) -> Pocket:
        return Pocket(**{"cutter": self.mill, "depth": 0.8, **self._rates(), **more})

    def drilling(self, **more: Any) -> Drill:
        return Drill(cutter=more.pop("cutter", self.drill), spindle=18000.0, plunge_feed=100.0, **more)

    def sheet(self, **more: Any) -> Sheet:
        said: dict[str, Any] = {
            "material": Material(name="plain"), "size": (300.0, 200.0), "thickness": Thickness(nominal=2.0),
            "breakthrough": 0.4, "board": 12.0,
        }  # fmt: skip
        return Sheet(**{**said, **more})

    def job(self, *operations: Any, parts: Any = None, sheet: Any = None, **more: Any) -> Job:
        said: dict[str, Any] = {
            "name": "station", "machine": self.machine, "cutters": {"mill": self.mill, "drill": self.drill},
            "sheet": sheet or self.sheet(), "parts": (self.plate(),) if parts is None else parts,
            "operations": operations or (self.drilling(), self.profile()),
        }  # fmt: skip
        return Job(**{**said, **more})

    def place(self, job: Job) -> Setup:
        (setup,) = place(job, self.registry)
        return setup

    def faults(self, job: Job) -> list[str]:
        with pytest.raises(InputError) as e:
            place(job, self.registry)
        return [str(f) for f in e.value.faults]


@pytest.fixture
def shop() -> Workshop:
    return Workshop()
