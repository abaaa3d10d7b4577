"""Offset curves against an independent implementation: the library `pyclipper` (polygon clipping by Vatti's method)."""

from __future__ import annotations

import numpy as np
import pyclipper
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.offset import offset
from kerfwright.recovery import recover
from kerfwright.sweep import rings_of

GRID = 1e6
"""Integers of the library to a mm."""
WITHIN = 0.002
"""mm, both ways: what offset and recovered arcs may differ by together."""


def glyph() -> shapely.Polygon:
    """A letter like `e`: bowl, bar, open jaw, from cubic Bezier curves and lines; 24 mm high."""

    def bezier(*p: tuple[float, float]) -> np.ndarray:
        t = np.linspace(0, 1, 160)[:, None]
        a, b, c, d = (np.array(q, float) for q in p)
        return (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d

    outer = [
        bezier((22, 5), (18, -1), (10, -1), (6, 1)), bezier((6, 1), (0, 5), (-2, 18), (6, 22)),
        bezier((6, 22), (14, 27), (24, 22), (23, 11)), np.array([(23, 11), (6, 11)]),
        bezier((6, 11), (6, 3), (14, 2), (19, 7)),
    ]  # fmt: skip
    eye = [bezier((6.5, 14), (7, 22), (18, 22), (18, 14)), np.array([(18, 14), (6.5, 14)])]
    return shapely.orient_polygons(shapely.Polygon(np.vstack(outer), [np.vstack(eye)]))


def independent(shape: shapely.Polygon, distance: float) -> shapely.Geometry:
    """The library's offset: rounds with chords within 0.0002 mm."""
    tool = pyclipper.PyclipperOffset(2.0, 0.0002 * GRID)
    for ring in (shape.exterior, *shape.interiors):
        path = np.rint(np.array(ring.coords)[:-1] * GRID).astype(np.int64)
        tool.AddPath(path.tolist(), pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    paths = [np.array(p) / GRID for p in tool.Execute(distance * GRID)]
    rings = [shapely.Polygon(p) for p in paths if len(p) > 2]
    area: shapely.Geometry = shapely.Polygon()
    for one in rings:
        area = shapely.symmetric_difference(area, one)
    return area


def within(a: shapely.Geometry, b: shapely.Geometry, distance: float) -> bool:
    """Whether all of line `a`, at points 0.01 mm apart, lies within a distance of line `b`."""
    shapely.prepare(b)
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(a, 0.01)))
    return bool(shapely.dwithin(b, points, distance).all())


@pytest.mark.parametrize("distance", [1.5875, 1.0, 0.4, -0.3, -0.8, -1.5])
@pytest.mark.parametrize("name", ["gear", "rib", "glyph", "plate", "star"])
def test_curves_lie_where_the_library_puts_them(shapes: dict[str, shapely.Polygon], name: str, distance: float) -> None:
    """Recovered arcs and lines against the library's vertices, within 0.002 mm both ways, ring for ring."""
    shape = glyph() if name == "glyph" else shapes[name]
    assert shape.is_valid
    curves = recover(rings_of(offset(shape, distance)))
    theirs = independent(shape, distance)
    if not curves:
        assert shapely.area(theirs) < 1e-6
        return
    ours = shapely.multilinestrings([c.path(1e-5) for c in curves])
    lines = shapely.multilinestrings([shapely.LineString(r.coords) for r in rings_of(theirs)])
    assert len(curves) == len(rings_of(theirs))
    assert within(ours, lines, WITHIN)
    assert within(lines, ours, WITHIN)


def test_the_measure_tells_a_curve_that_is_off(shapes: dict[str, shapely.Polygon]) -> None:
    """The same gear offset by 0.003 mm more is seen."""
    curves = recover(rings_of(offset(shapes["gear"], 1.003)))
    ours = shapely.multilinestrings([c.path(1e-5) for c in curves])
    theirs = shapely.boundary(independent(shapes["gear"], 1.0))
    assert not within(ours, theirs, WITHIN)


def test_the_area_of_drawn_arcs_is_exact_after_all() -> None:
    """From the drawing's arc to the cutter's: a disc of 20 mm with a hole of 6, offset by 1, worked by hand."""
    disc = Curve.circle(0, 0, 10).polygon().difference(Curve.circle(2, 1, 3).polygon())
    outer, hole = recover(rings_of(offset(disc, 1.0)))
    assert outer.signed_area == pytest.approx(np.pi * 121, abs=2 * np.pi * 11 * 0.0006)
    assert hole.signed_area == pytest.approx(-np.pi * 4, abs=2 * np.pi * 2 * 0.0006)
