"""Units of drawings. Sources beside the values: CSS Values and Units (96 px an inch); the DXF reference, $INSUNITS and
bulges (group 42), from memory."""

from __future__ import annotations

import io
import math

import ezdxf
import pytest

from kerfwright.drawing import Drawing
from kerfwright_plugins.drawings.dxf import Dxf
from kerfwright_plugins.drawings.svg import Svg


def dxf(code: int, size: float) -> Drawing:
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = code
    doc.modelspace().add_lwpolyline([(0, 0), (size, 0), (size, size), (0, size)], close=True)
    text = io.StringIO()
    doc.write(text)
    return Dxf().read(text.getvalue().encode(), "d.dxf")


def svg(width: str) -> float:
    data = f'<svg xmlns="http://www.w3.org/2000/svg" width="1000px" height="1000px"><rect width="{width}" height="1"/></svg>'
    x0, _, x1, _ = Svg().read(data.encode(), "d.svg").bounds
    return x1 - x0


# CSS Values and Units 3, section 5.2: 1in = 96px = 2.54cm = 25.4mm = 101.6Q = 72pt = 6pc
PX = [("100", 26.458333), ("100px", 26.458333), ("1in", 25.4), ("2.54cm", 25.4), ("25.4mm", 25.4), ("101.6Q", 25.4), ("72pt", 25.4), ("6pc", 25.4)]  # fmt: skip


@pytest.mark.parametrize(("said", "mm"), PX)
def test_svg_lengths(said, mm):
    assert svg(said) == pytest.approx(mm, abs=1e-6)


# DXF reference, header variable $INSUNITS, from memory; metres and inches by their definitions
INSUNITS = [(1, 1, 25.4), (2, 1, 304.8), (4, 25.4, 25.4), (5, 2.54, 25.4), (6, 0.0254, 25.4), (8, 1e6, 25.4), (9, 1000, 25.4), (10, 1 / 36, 25.4), (13, 25400, 25.4), (14, 0.254, 25.4)]  # fmt: skip


@pytest.mark.parametrize(("code", "size", "mm"), INSUNITS)
def test_dxf_units(code, size, mm):
    assert dxf(code, size).bounds == pytest.approx((0, 0, mm, mm), rel=1e-9)


def test_a_bulge_is_the_tangent_of_a_quarter_of_the_angle():
    """Bulge 0.41421 = tan(22.5 deg) over a chord of 10: a quarter circle of radius 10/sqrt(2) = 7.071 mm, swinging out
    by 7.071 (1 - cos 45 deg) = 2.071 mm to the right of the way, which is counter-clockwise."""
    doc = ezdxf.new(units=4)
    doc.modelspace().add_lwpolyline([(0, 0, 0.41421), (10, 0, 0), (10, 10, 0), (0, 10, 0)], format="xyb", close=True)
    text = io.StringIO()
    doc.write(text)
    (loop,) = Dxf().read(text.getvalue().encode(), "d.dxf").loops
    arc = int(abs(loop.curve.turns).argmax())
    assert loop.curve.radii[arc] == pytest.approx(7.071, abs=1e-3)
    assert loop.curve.turns[arc] == pytest.approx(math.pi / 2, abs=2e-5)
    assert loop.curve.bounds == pytest.approx((0, -2.071, 10, 10), abs=1e-3)
    assert loop.curve.signed_area == pytest.approx(100 + 25 * math.pi / 2 - 25, abs=1e-3)
