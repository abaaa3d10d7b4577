"""Mounting holes of small stepping motors. Source: NEMA ICS 16, frame sizes 17 and 23, from memory: four holes on a
square of 31.0 mm with a pilot of 22 mm, and of 47.14 mm with 38.1 mm. Screw M3 in a 3.4 mm hole: ISO 273 medium, from memory."""

from __future__ import annotations

import io
import itertools

import ezdxf
import numpy as np
import pytest
from ezdxf.math import Matrix44

from kerfwright.outlines.shapes import Circle, Rectangle, drawing
from kerfwright_plugins.drawings.dxf import Dxf
from kerfwright_plugins.drawings.svg import Svg

PATTERNS = [(31.0, 22.0, 3.4, 42.3), (47.14, 38.1, 5.5, 56.4)]
"""Square, pilot, hole, plate (mm); the plate is ours, a little over the motor's face."""


def holes(drawn):
    """Distances between the four small holes, sorted; the pilot's diameter; the small diameters."""
    circles = sorted((o.circle for o in drawn.loops if o.circle), key=lambda c: c.diameter)
    small, pilot = circles[:-1], circles[-1]
    apart = sorted(float(np.hypot(a.x - b.x, a.y - b.y)) for a, b in itertools.combinations(small, 2))
    center = np.mean([(c.x, c.y) for c in small], axis=0)
    assert (pilot.x, pilot.y) == pytest.approx(tuple(center), abs=1e-6)
    return apart, pilot.diameter, [c.diameter for c in small]


def from_shapes(square, pilot, hole, plate):
    h = plate / 2
    return drawing(
        [Rectangle(corner=(0, 0), size=(plate, plate), radius=3), Circle(center=(h, h), diameter=pilot)]
        + [Circle(center=(h + sx * square / 2, h + sy * square / 2), diameter=hole) for sx in (-1, 1) for sy in (-1, 1)]
    )


def from_dxf(square, pilot, hole, plate):
    """In inches, the holes as one block inserted four times, turned by 45 degrees as the motor may be."""
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 1
    hole_block = doc.blocks.new("hole")
    hole_block.add_circle((0, 0), hole / 2)
    pattern = doc.blocks.new("pattern")
    for sx in (-1, 1):
        for sy in (-1, 1):
            pattern.add_blockref("hole", (sx * square / 2, sy * square / 2))
    pattern.add_circle((0, 0), pilot / 2)
    pattern.add_lwpolyline(
        Matrix44.scale(plate / 2).transform_vertices([(-1, -1), (1, -1), (1, 1), (-1, 1)]), close=True
    )
    doc.modelspace().add_blockref(
        "pattern", (3, 4), dxfattribs={"xscale": 1 / 25.4, "yscale": 1 / 25.4, "zscale": 1 / 25.4, "rotation": 45}
    )
    text = io.StringIO()
    doc.write(text)
    return Dxf().read(text.getvalue().encode(), "motor.dxf")


def from_svg(square, pilot, hole, plate):
    """In px, the page turned by 30 degrees."""
    dots = "".join(f'<use href="#h" x="{sx * square / 2}" y="{sy * square / 2}"/>' for sx in (-1, 1) for sy in (-1, 1))
    body = f'<rect x="{-plate / 2}" y="{-plate / 2}" width="{plate}" height="{plate}"/><circle r="{pilot / 2}"/>{dots}'
    data = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="400px" height="400px">'
        f'<defs><circle id="h" r="{hole / 2}"/></defs><g transform="translate(200 200) rotate(30) scale({96 / 25.4})">{body}</g></svg>'
    )
    return Svg().read(data.encode(), "motor.svg")


@pytest.mark.parametrize("source", [from_shapes, from_dxf, from_svg])
@pytest.mark.parametrize(("square", "pilot", "hole", "plate"), PATTERNS)
def test_frame_sizes_17_and_23(source, square, pilot, hole, plate):
    drawn = source(square, pilot, hole, plate)
    apart, bore, small = holes(drawn)
    assert apart == pytest.approx([square] * 4 + [square * 2**0.5] * 2, abs=1e-6)
    assert bore == pytest.approx(pilot, abs=1e-6)
    assert small == pytest.approx([hole] * 4, abs=1e-6)
    assert [o.depth for o in drawn.loops].count(0) == 1
