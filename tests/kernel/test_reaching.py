"""What a round cutter cannot reach is told point by point; what is opened near it alone is what is opened as a whole."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kerfwright.reaching import unreached
from kerfwright.shrinking import along, grown, opened

CIRCLE = shapely.buffer(shapely.Point(0, 0), 3.0, quad_segs=60)


@pytest.mark.parametrize(
    "area",
    [
        CIRCLE,
        shapely.box(-9, -9, 9, 9).buffer(1.0, quad_segs=60),
        shapely.difference(shapely.box(-9, -9, 9, 9).buffer(1.0, quad_segs=60), CIRCLE),
        shapely.difference(shapely.box(-9, -9, 9, 9).buffer(1.0, quad_segs=60), shapely.box(-3, -3, 3, 3)),
    ],
    ids=["circle", "rounded corners", "island", "sharp island"],
)
def test_a_cutter_that_fits_reaches_all(area: shapely.Polygon) -> None:
    """No inside corner is sharper than the cutter is round, and no neck narrower: the area stays what it was."""
    assert not len(unreached(area, 0.95))
    assert opened(area, 0.95) is area


def test_corners_and_necks_are_told_where_they_are() -> None:
    """Sharp corners of a box; a slot too narrow by 0.2 mm, from end to end."""
    box = shapely.box(0, 0, 20, 10)
    away = np.hypot(*(unreached(box, 1.0)[:, None] - np.array([[0, 0], [20, 0], [20, 10], [0, 10]])).transpose(2, 0, 1))
    assert away.min(1).max() <= 1.0 + 0.1  # a cutter of radius 1 misses a right corner from 1 mm before it
    assert (away.min(0) < 0.05).all()
    slot = unreached(shapely.union(shapely.box(0, 0, 20, 20), shapely.box(19, 9.1, 40, 10.9)), 1.0)
    inside = slot[(slot[:, 0] > 22) & (slot[:, 0] < 39)]
    gaps = np.diff(np.sort(inside[np.abs(inside[:, 1] - 9.1) < 1e-6][:, 0]))
    assert gaps.max() < 0.25


@pytest.mark.parametrize("radius", [0.8, 0.949, 0.96, 1.5, 2.999, 3.01, 4.0])
def test_round_holes_are_reached_by_what_goes_in(radius: float) -> None:
    """Holes of radius 0.95 to 3 for cutters from much smaller to larger: all of it, or nothing."""
    for hole in (0.95, 3.0):
        area = shapely.buffer(shapely.Point(5, 5), hole, quad_segs=math.ceil(25 * hole))
        assert (len(unreached(area, radius)) == 0) == (radius < hole)
        assert opened(area, radius).is_empty == (radius > hole)


def whole(area: shapely.Geometry, radius: float) -> shapely.Geometry:
    """Opened by its definition, all of it at once."""
    return grown(shapely.difference(area, along(area, radius, 0.0001)), radius, 0.0001)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(-30, 30), st.floats(-30, 30), st.floats(0.8, 6), st.floats(0.2, 6), st.floats(0, 90)),
        min_size=1,
        max_size=8,
    ),
    st.floats(0.4, 2.5),
)
def test_opened_near_what_is_missed_is_opened_as_a_whole(
    islands: list[tuple[float, float, float, float, float]], radius: float
) -> None:
    """A plate with islands of all kinds: nothing wider than 0.02 mm differs. All cases reach the assertion."""
    area = shapely.box(-40, -40, 40, 40).buffer(3, quad_segs=60)
    for x, y, a, b, turn in islands:
        one = shapely.affinity.rotate(shapely.box(x - a, y - b, x + a, y + b), turn)
        area = shapely.difference(area, one)
    if area.geom_type != "Polygon":
        area = max(area.geoms, key=lambda g: g.area)
    # an exact fit counts as reached by one and not by the other
    apart = shapely.symmetric_difference(opened(area, radius), whole(area, radius))
    thin = shapely.get_parts(shapely.buffer(apart, -0.01))
    assert shapely.area(thin).sum() < 1e-3 or math.isclose(
        whole(area, radius - 0.001).area, opened(area, radius).area, rel_tol=1e-4
    )
