"""Outlines that have hurt before: every strategy and every offset is tried on all of them."""

from __future__ import annotations

import gc
import math
from collections.abc import Callable

import numpy as np
import pytest
import shapely


def pytest_collection_finish() -> None:
    """What collection made stays to the end: the garbage collector need not go through it again and again."""
    gc.collect()
    gc.freeze()


def disc(x: float, y: float, radius: float, chords: int = 0) -> shapely.Polygon:
    """Vertices on the circle, chords within 0.0005 mm of it unless their number is given."""
    n = chords or max(12, math.ceil(math.pi / math.acos(1 - 0.0005 / radius)))
    a = np.arange(n) * 2 * np.pi / n
    return shapely.Polygon(np.column_stack([x + radius * np.cos(a), y + radius * np.sin(a)]))


def plate() -> shapely.Polygon:
    """60 x 40 mm with twelve holes and a slot."""
    holes = [disc(8 + 11 * i, 8 + 24 * j, 1.6 + 0.3 * i) for i in range(5) for j in range(2)]
    return shapely.box(0, 0, 60, 40).difference(shapely.union_all([*holes, shapely.box(20, 17, 40, 22)]))


def neck() -> shapely.Polygon:
    """Two squares joined by a neck of 1.5 mm: a 2 mm cutter does not pass."""
    return shapely.union_all([shapely.box(0, 0, 15, 15), shapely.box(25, 0, 40, 15), shapely.box(14, 6, 26, 7.5)])


def comb() -> shapely.Polygon:
    """Seven teeth, gaps of 3 mm."""
    return shapely.union_all([shapely.box(0, 0, 45, 8), *[shapely.box(7 * k, 7, 7 * k + 4, 25) for k in range(7)]])


def gear() -> shapely.Polygon:
    """Twenty teeth with straight flanks and rounded roots, 30 mm over the tips."""
    t = np.linspace(0, 2 * np.pi, 800, endpoint=False)
    r = 13.4 + 1.6 * np.tanh(3 * np.sin(20 * t)) / math.tanh(3)
    return shapely.Polygon(np.column_stack([r * np.cos(t), r * np.sin(t)]))


def rib() -> shapely.Polygon:
    """NACA 2412 section of 90 mm chord (thickness and camber by NACA Report 460, from memory), with two lightening holes."""
    x = (1 - np.cos(np.linspace(0, np.pi, 180))) / 2
    y = 0.6 * (0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)
    c = np.where(x < 0.4, 0.02 / 0.16 * (0.8 * x - x**2), 0.02 / 0.36 * (0.2 + 0.8 * x - x**2))
    p = np.vstack([np.column_stack([x, c - y]), np.column_stack([x, c + y])[-2:0:-1]]) * 90
    return shapely.Polygon(p).difference(shapely.union_all([disc(22, 1.5, 3.5), disc(42, 1.5, 3.0)]))


def star() -> shapely.Polygon:
    """Nine sharp points, 14 degrees and less."""
    a = np.arange(18) * np.pi / 9
    r = np.where(np.arange(18) % 2, 9.0, 25.0)
    return shapely.Polygon(np.column_stack([r * np.cos(a), r * np.sin(a)]))


def ring() -> shapely.Polygon:
    """A washer whose rim is 1.4 mm wide: narrower than a 2 mm cutter."""
    return disc(0, 0, 8).difference(disc(0, 0, 6.6))


def tiny() -> shapely.Polygon:
    """A rectangle of 1.5 x 3.5 mm."""
    return shapely.box(0, 0, 1.5, 3.5)


SHAPES: dict[str, Callable[[], shapely.Polygon]] = {
    f.__name__: f for f in (plate, neck, comb, gear, rib, star, ring, tiny)
}


@pytest.fixture(params=SHAPES, ids=list(SHAPES))
def shape(request: pytest.FixtureRequest) -> shapely.Polygon:
    """Each of the outlines in turn, as a valid polygon in mm."""
    return shapely.orient_polygons(SHAPES[request.param]())


@pytest.fixture
def shapes() -> dict[str, shapely.Polygon]:
    """All of them by name."""
    return {name: shapely.orient_polygons(make()) for name, make in SHAPES.items()}
