"""Sheets and programs made by hand, so that the checks are tried without planner, writer or reader."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import attrs
import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.drawing import Drawing, Loop
from kerfwright.evidence import Reading
from kerfwright.job import Job, Part, Planes
from kerfwright.machine import Axes, Machine, Spindle
from kerfwright.material import Material
from kerfwright.moves import Event, Moves
from kerfwright.operation import Operation
from kerfwright.proof import Proof, prove
from kerfwright.rates import Rates
from kerfwright.registry import Registry
from kerfwright.setup import Heights, Piece, Setup, Work
from kerfwright.sheet import Sheet, Thickness
from kerfwright.strategy import Bridges

MILL = Cutter(name="mill", number=1, form="end_mill", diameter=2.0, teeth=2, flute_length=8.0)
DRILL = Cutter(name="drill", number=2, form="drill", diameter=3.0, teeth=2, flute_length=20.0, point_angle=118.0)
ROUTER = Machine(
    name="bench",
    travel=(400.0, 300.0, 80.0),
    home=True,
    rapids="coordinated",
    spindle=Spindle(least=8000, most=24000, wake_s=3.0, run_down_s=5.0),
    feed=Axes(xy=2000, z=800),
    rapid=Axes(xy=3000, z=1200),
)
SHEET = Thickness(nominal=2.0)
RATES = Rates(18000, 600, 100, 3.0, 0.4, {})


class Hand:
    """A program said move by move; every call is one line of text, counted from 1."""

    def __init__(self, *, cutter: int = 1) -> None:
        self.nodes: list[list[float]] = [[math.nan] * 3]
        self.turns: list[float] = []
        self.feeds: list[float] = []
        self.lines: list[int] = []
        self.rpm: list[float] = []
        self.numbers: list[int] = []
        self.events: list[Event] = []
        self.line = 0
        self.speed = self.on = 0.0
        self.cutter = cutter

    def tell(self, kind: str, value: str | float = "") -> Hand:
        self.line += 1
        self.events.append(Event(kind, value, self.line, len(self.turns)))
        if kind == "speed":
            self.speed = float(value)
        if kind == "spindle":
            self.on = 0.0 if value == "off" else 1.0
        if kind == "cutter":
            self.cutter = int(value)
        return self

    def move(
        self,
        feed: float,
        x: float | None = None,
        y: float | None = None,
        z: float | None = None,
        turn: float = 0.0,
    ) -> Hand:
        self.line += 1
        last = self.nodes[-1]
        self.nodes.append([b if a is None else a for a, b in zip((x, y, z), last)])
        self.turns.append(turn)
        self.feeds.append(feed)
        self.lines.append(self.line)
        self.rpm.append(self.speed * self.on)
        self.numbers.append(self.cutter)
        return self

    def rapid(self, x: float | None = None, y: float | None = None, z: float | None = None) -> Hand:
        return self.move(0.0, x, y, z)

    def opening(self, *, wake: float = 3.0, speed: float = 18000) -> Hand:
        """Lines 1 to 11: modes, cutter, up, spindle, wait."""
        for kind, value in (
            ("units", "mm"),
            ("distance", "absolute"),
            ("plane", "xy"),
            ("feed_mode", "per_minute"),
            ("path", "exact_path"),
            ("offset", "off"),
            ("cutter", self.cutter),
        ):
            self.tell(kind, value)
        self.rapid(z=8.0)
        self.tell("speed", speed)
        self.tell("spindle", "clockwise")
        return self.tell("dwell", wake)

    def closing(self) -> Hand:
        return self.rapid(z=8.0).tell("spindle", "off").tell("dwell", 5.0).tell("end")

    def down(self, x: float, y: float, z: float, plunge: float = 100.0) -> Hand:
        """Over the place, rapid to the approach plane, and straight down."""
        return self.rapid(x=x, y=y, z=8.0).rapid(z=2.0).move(plunge, z=z)

    def lap(self, corners: Sequence[tuple[float, float]], feed: float = 600.0) -> Hand:
        """Through all corners and back to the first."""
        for x, y in (*corners[1:], corners[0]):
            self.move(feed, x, y)
        return self

    def circle(self, x: float, y: float, radius: float, feed: float = 600.0, turn: float = math.pi) -> Hand:
        """Two halves of a circle, from its right."""
        return self.move(feed, x - radius, y, turn=turn).move(feed, x + radius, y, turn=turn)

    @property
    def moves(self) -> Moves:
        return Moves(
            Curve(np.array(self.nodes), np.array(self.turns)),
            np.array(self.feeds),
            np.array(self.lines, np.int64),
            np.array(self.rpm),
            np.array(self.numbers, np.int64),
            tuple(self.events),
            self.line,
        )

    def reading(self, file: str = "hand.ngc", kind: str = "program", cutter: Cutter | None = None) -> Reading:
        return Reading(file, kind, "", self.moves, cutter=cutter)


class Bench:
    """What tests need: hands, cutters, machines, sheets and the proof."""

    Hand, mill, drill, router, rates = Hand, MILL, DRILL, ROUTER, RATES

    def __init__(self, registry: Registry) -> None:
        self.registry = registry

    @staticmethod
    def setup(
        loops: Sequence[Curve],
        operations: Sequence[tuple[Operation, Sequence[int]]],
        *,
        hold: str = "tape",
        machine: Machine = ROUTER,
        bridges: Bridges | None = None,
        keepouts: Sequence[tuple[shapely.Polygon, float]] = (),
        thickness: Thickness = SHEET,
        rates: Rates = RATES,
        cutters: Sequence[Cutter] = (MILL, DRILL),
    ) -> Setup:
        """One part of loops in program coordinates, zero at the sheet's top; operations with the loops they work on."""
        drawing = Drawing.nested([Loop(c) for c in loops])
        sheet = Sheet(
            material=Material(name="cfrp"),
            size=(120.0, 100.0),
            thickness=thickness,
            breakthrough=0.4,
            board=12.0,
            hold=hold,
        )
        job = Job(
            name="hand",
            machine=machine,
            sheet=sheet,
            planes=Planes(travel=8.0, approach=2.0),
            cutters={c.name: c for c in cutters},
            parts=(Part(name="plate", drawing=drawing),),
            operations=tuple(o for o, _ in operations),
        )
        bound = {(0, 0): bridges} if bridges is not None else {}
        works = tuple(
            Work(i, f"operations[{i}].{o.kind}", o, tuple((0, k) for k in on), rates, bound)
            for i, (o, on) in enumerate(operations)
        )
        pieces = (Piece("plate", 1, 0, 0.0, drawing.loops),)
        return Setup(job, 1, shapely.box(0, 0, 120, 100), Heights.of(sheet, job.planes), pieces, works, tuple(keepouts))

    def prove(self, setup: Setup, *hands: Hand | Reading) -> Proof:
        read = [h if isinstance(h, Reading) else h.reading(f"hand-{i}.ngc") for i, h in enumerate(hands, 1)]
        return prove(setup, read, self.registry)

    def errors(self, setup: Setup, *hands: Hand | Reading) -> set[str]:
        """Codes of the errors found."""
        return {f.check for f in self.prove(setup, *hands).findings if f.severity == "error"}

    @classmethod
    def said(cls, lines: Sequence[str]) -> Hand:
        """A hand from lines: a word and its value, or a feed (or `rapid`) and X Y Z with - for what is not said."""
        hand = cls.Hand()
        for line in lines:
            word, *rest = line.split(" ", 1 if line.startswith(("pause", "comment")) else -1)
            if word == "same":  # several things in one block
                hand.line -= 1
            elif word == "rapid" or word[0].isdigit():
                x, y, z = (None if v == "-" else float(v) for v in rest)
                hand.move(0.0 if word == "rapid" else float(word), x, y, z)
            else:
                value = rest[0] if rest else ""
                hand.tell(word, float(value) if word in ("speed", "dwell", "cutter", "work_offset") else value)
        return hand

    @staticmethod
    def router_with(**changes: object) -> Machine:
        return attrs.evolve(ROUTER, **changes)  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def bench() -> Bench:
    return Bench(Registry.load())


@pytest.fixture(scope="session")
def rectangle() -> Callable[[float, float, float, float], Curve]:
    def made(x0: float, y0: float, x1: float, y1: float) -> Curve:
        return Curve.line([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])

    return made
