"""Chamfer mills: radius over height, and what their text sweeps, against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.evidence import Course, Cutting, Reading
from kerfwright.moves import Moves

VEE = Cutter(
    name="vee", number=1, form="chamfer_mill", diameter=6.0, tip_diameter=0.4, point_angle=60.0, flute_length=6.0
)
SLOPE = 1 / math.sqrt(3)  # tangent of 30 degrees


def cutting(points: list[tuple[float, float, float]], level: float) -> Cutting:
    n = len(points) - 1
    moves = Moves(
        Curve.line(np.array(points)),
        np.full(n, 300.0),
        np.arange(1, n + 1),
        np.full(n, 18000.0),
        np.ones(n, np.int64),
        (),
        n,
    )
    return Cutting.at(Course.of([Reading("hand.ngc", "program", "", moves)], (VEE,)), level)


@pytest.mark.parametrize(("height", "radius"), [(0, 0.2), (-1, 0.2), (0.6, 0.2 + 0.6 * SLOPE), (4.8497, 3.0), (9, 3.0)])
def test_radius_over_height(height, radius):
    assert VEE.radius_at(height) == pytest.approx(radius, abs=1e-4)


def test_length_of_the_cone():
    """(6 - 0.4) / 2 over the tangent of 30 degrees."""
    assert VEE.cone_length == pytest.approx(4.8497, abs=1e-4)
    assert VEE.point_length == 0


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({"point_angle": 180.0}, "point_angle: found nothing, allowed: a number above 0 and below 180 deg"),
        ({"tip_diameter": 6.0}, "tip_diameter: found 6 mm, allowed: less than the diameter, 6 mm"),
        ({"flute_length": 4.8}, "flute_length: found 4.8 mm, allowed: at least 4.85 mm, the length of its cone"),
        ({"form": "end_mill", "point_angle": 180.0}, "tip_diameter: found 0.4 mm, allowed: only on a chamfer_mill"),
    ],
)
def test_what_is_no_cone_is_refused(said, told):
    with pytest.raises(ValueError, match=told.replace("(", r"\(")):
        Cutter(
            **{
                "form": "chamfer_mill",
                "diameter": 6.0,
                "tip_diameter": 0.4,
                "point_angle": 60.0,
                "flute_length": 6.0,
                **said,
            }
        )


def test_level_moves_and_plunges_are_exact():
    """A level move is a stadium, a plunge a disc of its lowest place, also where the way then goes on higher up."""
    r = 0.2 + 1.5 * SLOPE
    cut = cutting([(0, 0, 2), (0, 0, -2), (10, 0, -2), (10, 0, 2)], -0.5)
    assert cut.swept().area == pytest.approx(math.pi * r * r + 20 * r, rel=2e-3)
    assert np.allclose(cut.radius, r)
    pecked = cutting([(0, 0, 2), (0, 0, -1), (5, 0, -1), (5, 0, -2), (5, 0, -1), (10, 0, -1)], -0.5)
    assert pecked.radius.max() == pytest.approx(r)
    assert pecked.swept().bounds[3] == pytest.approx(r, abs=1e-3)
    assert not len(cutting([(0, 0, 2), (0, 0, -0.5), (5, 0, -0.5)], -0.5))  # no tip without area would be told
    wide = cutting([(0, 0, 2), (0, 0, -6), (5, 0, -6)], -0.1)
    assert wide.radius.max() == 3.0


@pytest.mark.parametrize("level", [0.0, -0.3, -0.9])
def test_slopes_count_for_too_much_by_a_hair_and_never_for_too_little(level):
    """What a disc sweeps whose radius changes evenly along a straight way is the hull of its first and last one."""
    a, b = (0.0, 0.0, 0.0 if level < 0 else -0.2), (12.0, 3.0, -2.0)
    cut = cutting([(0.0, 0.0, 3.0), a, b], level)
    f = max(0.0, (level - a[2]) / (b[2] - a[2]))
    first = shapely.Point(f * 12, f * 3).buffer(0.2 + max(0.0, level - a[2]) * SLOPE, 400)
    last = shapely.Point(12, 3).buffer(0.2 + (level + 2.0) * SLOPE, 400)
    hull = shapely.union_all([first, last]).convex_hull
    swept = cut.swept()
    assert swept.buffer(0.0006).covers(hull)  # chords lie inside by 0.0005 mm
    assert hull.buffer(0.0012).covers(swept)
