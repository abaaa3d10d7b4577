"""Inline shapes: areas worked by hand, and every refusal by its message."""

from __future__ import annotations

import math

import attrs
import pytest

from kerfwright import fields
from kerfwright.errors import InputError
from kerfwright.outlines.shapes import SHAPES, Circle, Path, Polygon, Rectangle, Slot, Wkt, drawing

BY_HAND = {
    "circle": (Circle(center=(5, 5), diameter=4), math.pi * 4, (3, 3, 7, 7), 2),
    "rectangle": (Rectangle(corner=(1, 2), size=(30, 20)), 600, (1, 2, 31, 22), 4),
    "rounded": (Rectangle(corner=(0, 0), size=(30, 20), radius=4), 600 - (4 - math.pi) * 16, (0, 0, 30, 20), 8),
    "round as can be": (Rectangle(corner=(0, 0), size=(30, 20), radius=10), 200 + math.pi * 100, (0, 0, 30, 20), 6),
    "turned by 90": (Rectangle(corner=(10, 0), size=(30, 20), turn=90), 600, (-10, 0, 10, 30), 4),
    "turned by 45": (
        Rectangle(corner=(0, 0), size=(10, 10), turn=45), 100, (-50**0.5, 0, 50**0.5, 200**0.5), 4,
    ),
    "slot": (Slot(start=(0, 0), to=(20, 0), width=6), 120 + math.pi * 9, (-3, -3, 23, 3), 4),
    "slot, leaning": (Slot(start=(0, 0), to=(-3, 4), width=2), 10 + math.pi, (-4, -1, 1, 5), 4),
    "polygon": (Polygon(points=((0, 0), (30, 0), (0, 40))), 600, (0, 0, 30, 40), 3),
    "polygon, closed twice": (Polygon(points=((0, 0), (30, 0), (0, 40), (0, 0))), 600, (0, 0, 30, 40), 3),
    "path": (Path(text="M0 0 H20 V10 A10 10 0 0 1 10 20 H0 Z"), 300 + math.pi * 25, (0, 0, 20, 20), 5),
    "path in inches": (Path(text="M0 0 h1 v1 h-1 z", unit=25.4), 25.4**2, (0, 0, 25.4, 25.4), 4),
    "wkt": (Wkt(text="POLYGON ((0 0, 20 0, 20 10, 0 0))"), 100, (0, 0, 20, 10), 3),
    "wkt in inches": (Wkt(text="POLYGON ((0 0, 1 0, 1 1, 0 0))", unit=25.4), 25.4**2 / 2, (0, 0, 25.4, 25.4), 3),
}  # fmt: skip


@pytest.mark.parametrize(("shape", "area", "bounds", "segments"), BY_HAND.values(), ids=BY_HAND)
def test_areas_and_extents_worked_by_hand(shape, area, bounds, segments):
    (loop,) = drawing([shape]).loops
    assert loop.curve.signed_area == pytest.approx(area, abs=1e-7)
    assert loop.curve.bounds == pytest.approx(bounds, abs=1e-7)
    assert len(loop.curve) == segments


def test_path_with_every_command():
    """M L H V C S Q T A Z, absolute and relative: the relative half repeats the absolute one 100 mm to the right."""
    text = (
        "M0 0 L10 0 H20 V10 C20 12 22 14 20 16 S 18 18 20 20 Q 15 25 10 20 T 0 20 A 5 5 0 0 1 0 10 Z "
        "m100 0 l10 0 h10 v10 c0 2 2 4 0 6 s -2 2 0 4 q -5 5 -10 0 t -10 0 a 5 5 0 0 1 0 -10 z"
    )
    a, b = drawing([Path(text=text)]).loops
    assert b.curve.signed_area == pytest.approx(a.curve.signed_area, abs=1e-9)
    assert b.curve.bounds == pytest.approx([v + 100 * (k % 2 == 0) for k, v in enumerate(a.curve.bounds)], abs=1e-9)
    # the square 400; C swings out by 36 times the integral of t2(1 - t), S in by 36 times that of t(1 - t)(1 - 2t(1 - t));
    # Q and T take and give two thirds of one triangle; the arc adds half a disc
    assert a.curve.signed_area == pytest.approx(400 + 3 - 3.6 + math.pi * 12.5, abs=0.02)


def test_holes_of_wkt_and_layers():
    got = drawing(
        [Wkt(text="MULTIPOLYGON (((0 0, 9 0, 9 9, 0 9, 0 0), (3 3, 6 3, 6 6, 3 6, 3 3)), ((20 0, 25 0, 25 5, 20 0)))", layer="w"), Circle(center=(40, 0), diameter=3, layer="c")]
    )  # fmt: skip
    assert [(o.depth, o.layer) for o in got.loops] == [(0, "w"), (1, "w"), (0, "w"), (0, "c")]
    assert got.loops[3].circle.diameter == pytest.approx(3)


REFUSED = {
    "no diameter": (lambda: Circle(center=(0, 0), diameter=0), "diameter: found 0, allowed: a number above 0 mm"),
    "center": (lambda: Circle(center=(0,), diameter=1), "center: found (0,), allowed: 2 numbers"),
    "radius": (lambda: Rectangle(corner=(0, 0), size=(10, 4), radius=2.5), "radius: found 2.5, allowed: at most half the shorter side, 2 mm"),
    "size": (lambda: Rectangle(corner=(0, 0), size=(10, -4)), "size: found -4, allowed: a number above 0 mm"),
    "slot": (lambda: Slot(start=(1, 1), to=(1, 1), width=2), "to: found (1, 1), allowed: a place other than `from`; a round hole is a circle"),
    "polygon": (lambda: Polygon(points=((0, 0), (1, 1), (0, 0))), "found 3 points, allowed: three or more different ones"),
    "path's start": (lambda: Path(text="L 1 1"), "found 'L 1 1' at the start of the path, allowed: M"),
    "path's numbers": (lambda: Path(text="M 0 0 L 5"), "found 'L 5' at character 7, allowed: a command of the SVG path grammar with its numbers"),
    "path's words": (lambda: Path(text="M 0 0 G 5 5 Z"), "found 'G 5 5 Z' at character 7, allowed: a command of the SVG path grammar"),
    "arc's flags": (lambda: Path(text="M 0 0 A 5 5 0 2 1 3 3 Z"), "found 'A 5 5 0 2 1 3 3 Z' at character 7"),
    "path's size": (lambda: Path(text="M 0 0 L 1e999 5 Z"), "a coordinate is not a finite number"),
    "a curve in a wrong unit": (lambda: Path(text="M 0 0 Q 1e9 1e9 5 5 Z"), "a curve would need more than 100000 chords of 0.0005 mm: is its unit right?"),
    "empty path": (lambda: Path(text=" "), "found ' ', allowed: a path with at least one closed outline"),
    "wkt": (lambda: Wkt(text="POLYGON (("), "found 'POLYGON ((', allowed: a POLYGON or MULTIPOLYGON ("),
    "wkt of another kind": (lambda: Wkt(text="POINT (1 1)"), "found 'POINT (1 1)', allowed: a POLYGON or MULTIPOLYGON"),
    "wkt of nothing": (lambda: Wkt(text="POLYGON EMPTY"), "found 'POLYGON EMPTY', allowed: a POLYGON or MULTIPOLYGON"),
}  # fmt: skip


@pytest.mark.parametrize(("make", "told"), REFUSED.values(), ids=REFUSED)
def test_a_shape_that_cannot_be_is_refused_where_it_is_said(make, told):
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the message is the table's
        make()
    assert told in str(caught.value)


def test_faults_carry_the_path_of_their_shape():
    shapes = [
        Rectangle(corner=(0, 0), size=(10, 10)),
        Rectangle(corner=(5, 5), size=(3, 8)),
        Polygon(points=((50, 0), (60, 10), (60, 0), (50, 10))),
        Path(text="M 80 0 L 90 0 L 90 10"),
    ]
    with pytest.raises(InputError) as caught:
        drawing(shapes, [f"parts[0].shapes[{k}]" for k in range(4)])
    assert [(f.path, f.message) for f in caught.value.faults] == [
        (
            "parts[0].shapes[3]",
            "an outline is not closed: open end at 80, 0, the nearest other open end lies 14.142 mm away at 90, 10; "
            "allowed: 0.1 mm",
        ),
        ("parts[0].shapes[2]", "an outline crosses itself at 55, 5"),
        ("parts[0].shapes[1]", "two outlines cross at 8, 10 (parts[0].shapes[0])"),
    ]


def test_no_shape_at_all_is_refused():
    with pytest.raises(InputError, match="found no outline, allowed: at least one closed outline"):
        drawing([])


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_every_field_says_what_it_is(shape):
    """All fields but a text's unit are parameters with a help; `single` names one of them."""
    said = {a.name: fields.spec(a) for a in attrs.fields(shape)}
    assert all(s.help for n, s in said.items() if n != "unit")
    assert shape.single in ("", *said)
    assert SHAPES[shape.name] is shape


def test_the_slot_says_from():
    assert fields.spec(attrs.fields(Slot).start).key == "from"
