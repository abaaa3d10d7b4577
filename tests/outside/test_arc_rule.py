"""Check 18: the arc end-point rule of NISTIR 6556 (RS274/NGC, center format arcs; from memory).

The distances of both ends from the center may differ by 0.002 mm, or by 0.0002 inch where inches are in use.
"""

from __future__ import annotations

import math

import pytest

from kerfwright.errors import CannotRead
from kerfwright.moves import Moves
from kerfwright.traits import Traits
from kerfwright_dialects.readers.rs274ngc import Rs274Ngc


def arc(block: str, units: str = "G21") -> Moves:
    """An arc from 0,0."""
    text = f"{units}\nG17 G90 G94\nG0 X0 Y0 Z0\nF100\n{block}\nM2\n"
    return Rs274Ngc(traits=Traits(language="rs274ngc")).read(text)


@pytest.mark.parametrize(
    ("block", "units"),
    [
        ("G2 X10 Y0 I5.003 J0", "G21"),  # 5.003 and 4.997: 0.006 mm
        ("G2 X10 Y0 I5.0011 J0", "G21"),  # 5.0011 and 4.9989: 0.0022 mm
        ("G3 X10 Y10 I0 J10.0021", "G21"),  # 10.0021, and hypot(10, 0.0021) = 10.0000002
        ("G2 X1 Y0 I.50011 J0", "G20"),  # 0.50011 and 0.49989: 0.00022 inch
        ("G3 X1 Y0 I.503 J0", "G20"),
    ],
)
def test_unequal_radii_are_refused(block: str, units: str) -> None:
    """More than the limit: no arc, and the message tells the rule."""
    with pytest.raises(CannotRead, match=r"^line 5: .*: an arc's center lies equally far from both ends within"):
        arc(block, units)


@pytest.mark.parametrize(
    ("block", "units", "length"),
    [
        ("G2 X10 Y0 I5.0005 J0", "G21", 5 * math.pi),  # 5.0005 and 4.9995: 0.001 mm
        ("G2 X10 Y0 I5.001 J0", "G21", 5 * math.pi),  # exactly 0.002 mm
        ("G3 X10 Y10 I0 J10.0019", "G21", 5 * math.pi),  # a quarter, 0.0019 mm
        ("G2 X1 Y0 I.5001 J0", "G20", 12.7 * math.pi),  # exactly 0.0002 inch
    ],
)
def test_nearly_equal_radii_pass(block: str, units: str, length: float) -> None:
    """Up to the limit; the way is as long as that of the true half or quarter circle within 0.003 mm."""
    moves = arc(block, units)
    assert moves.lines.tolist() == [3, 5]
    assert moves.curve.lengths[1] == pytest.approx(length, abs=0.003)
