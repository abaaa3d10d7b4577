"""Nine outlines that have hurt before: what every strategy is tried on, for a cutter of 2 mm. Drawn here, no files."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.curve import Curve
from kerfwright.drawing import Drawing, Loop
from kerfwright.selection import Choice, Selection

__all__ = ["CUTTER", "HOLES", "Specimen", "all_of_them"]

CUTTER = 2.0
"""Diameter of the cutter that the specimens are made for, mm."""
HOLES = 0.8
"""Diameter of the drilled holes, mm."""
EVERY, INNER = Selection((Choice(),), "all"), Selection((Choice(nesting="inner"),), "inner")


@define(frozen=True, eq=False)
class Specimen:
    """A part to be tried. `recess` selects the loops whose even-odd area is its pocket; `drilled` is another drawing: its
    outer outline with round holes of the drill's diameter.
    """

    name: str
    why: str
    drawing: Drawing
    recess: Selection
    drilled: Drawing

    @classmethod
    def of(
        cls,
        name: str,
        why: str,
        loops: Sequence[Curve],
        holes: Sequence[tuple[float, float]],
        recess: Selection = EVERY,
    ) -> Specimen:
        """From outlines, the outer one first, and the centers of the holes to drill."""
        drilled = [loops[0], *[Curve.circle(x, y, HOLES / 2) for x, y in holes]]
        drawing = Drawing.nested([Loop(c) for c in loops])
        return cls(name, why, drawing, recess, Drawing.nested([Loop(c) for c in drilled]))


def _ring(points: Sequence[tuple[float, float]] | Floats) -> Curve:
    p = np.asarray(points, float)
    return Curve.line(np.vstack([p, p[:1]]))


def _box(x0: float, y0: float, x1: float, y1: float) -> Curve:
    return _ring([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def plate() -> Specimen:
    """60 holes: 10 by 6, of 3.2 mm, 6 mm apart."""
    at = [(4.0 + 6 * i, 4.0 + 6 * j) for i in range(10) for j in range(6)]
    loops = [_box(0, 0, 62, 38), *[Curve.circle(x, y, 1.6) for x, y in at]]
    return Specimen.of("plate", "sixty holes, all of one shape", loops, at)


def neck() -> Specimen:
    """Two squares joined by a neck of 1.5 mm."""
    p = [(0, 0), (14, 0), (14, 6), (24, 6), (24, 0), (38, 0), (38, 14), (24, 14), (24, 7.5), (14, 7.5), (14, 14), (0, 14)]  # fmt: skip
    return Specimen.of(
        "neck", "a neck that the cutter does not pass", [_ring(p)], [(4, 4), (4, 10), (19, 6.75), (34, 10)]
    )


def islands() -> Specimen:
    """Six squares inside each other: five islands, each in an opening of the one around it."""
    loops = [_box(5.0 * k, 5.0 * k, 60 - 5.0 * k, 60 - 5.0 * k) for k in range(6)]
    return Specimen.of("islands", "nested five deep", loops, [(30, 30), (3, 3), (57, 3), (57, 57)])


def comb() -> Specimen:
    """Six teeth of 3 mm, gaps of 2.6 mm, wider at the ends than a cutter by a hair only."""
    p: list[tuple[float, float]] = [(0, 0), (31, 0)]
    for k in range(5, -1, -1):
        x = 5.6 * k
        p += [(x + 3, 20), (x, 20), (x, 6), (x - 2.6, 6)]
    p = [*p[:-2], (0, 20)]
    p.pop()
    return Specimen.of("comb", "long narrow gaps", [_ring(p)], [(1.5, 3), (15, 3), (29.5, 3), (1.5, 18)])


def spiral() -> Specimen:
    """A plate with a spiral channel of the cutter's width and a hair (0.02 mm), two turns, walls of 2 mm."""
    a = np.linspace(0, 4 * np.pi, 181)
    r, grow = 4 + 4 * a / (2 * np.pi), 4 / (2 * np.pi)
    mid = np.column_stack([r * np.cos(a), r * np.sin(a)])
    go = np.column_stack([grow * np.cos(a) - r * np.sin(a), grow * np.sin(a) + r * np.cos(a)])
    go /= np.hypot(*go.T)[:, None]
    left = np.column_stack([-go[:, 1], go[:, 0]])
    half = CUTTER / 2 + 0.01
    out, back = mid - half * left, (mid + half * left)[::-1]
    p = np.vstack([out, back, out[:1]])
    turns = np.zeros(len(p) - 1)
    turns[len(out) - 1] = turns[-1] = math.pi  # round ends
    channel = Curve(np.column_stack([p, np.zeros(len(p))]), turns)
    return Specimen.of(
        "spiral",
        "a channel in which the cutter has a hair of room",
        [_box(-16, -16, 16, 16), channel],
        [(-14, -14), (14, -14), (14, 14), (0, 0)],
        INNER,
    )


def gear() -> Specimen:
    """Twelve rounded teeth, 30 mm over the tips, with a bore of 8 mm."""
    t = np.linspace(0, 2 * np.pi, 600, endpoint=False)
    r = 13.4 + 1.6 * np.tanh(2 * np.sin(12 * t)) / math.tanh(2)
    teeth = _ring(np.column_stack([r * np.cos(t), r * np.sin(t)]))
    return Specimen.of(
        "gear", "many short chords", [teeth, Curve.circle(0, 0, 4)], [(0, 0), (0, 9), (9, 0), (0, -9), (-9, 0)]
    )


def rib() -> Specimen:
    """A section of 60 mm chord, 10 % thick at most, with a sharp trailing edge and two lightening holes."""
    x = (1 - np.cos(np.linspace(0, np.pi, 60))) / 2
    half = 0.12 * 2.598 * np.sqrt(x) * (1 - x) / 2  # thickest at a third of the chord
    camber = 0.08 * x * (1 - x)
    upper, lower = np.column_stack([x, camber + half]), np.column_stack([x, camber - half])
    outline = np.vstack([lower, upper[-2:0:-1]]) * 60
    holes = [Curve.circle(14, 0.08 * 60 * (14 / 60) * (46 / 60), 2), Curve.circle(26, 0.08 * 60 * (26 / 60) * (34 / 60), 1.8)]  # fmt: skip
    return Specimen.of("rib", "a tail that runs out sharp", [_ring(outline), *holes], [(8, 0.5), (20, 1), (32, 1.1)])


def small() -> Specimen:
    """A part of 1.5 by 3.5 mm."""
    return Specimen.of("small", "smaller than the cutter", [_box(0, 0, 1.5, 3.5)], [(0.75, 1.0), (0.75, 2.5)])


def star() -> Specimen:
    """Nine points of 25 degrees and less."""
    a = np.arange(18) * np.pi / 9
    r = np.where(np.arange(18) % 2, 9.0, 20.0)
    p = np.column_stack([r * np.cos(a), r * np.sin(a)])
    return Specimen.of("star", "sharp points and sharp roots", [_ring(p)], [(0, 0), (4, 0), (-4, 0), (0, 5)])


MADE: tuple[Callable[[], Specimen], ...] = (plate, neck, islands, comb, spiral, gear, rib, small, star)


def all_of_them() -> tuple[Specimen, ...]:
    """The nine, always in the same order."""
    return tuple(make() for make in MADE)
