"""The second method itself against values worked on paper, and what it says of spoiled programs."""

from __future__ import annotations

import importlib.util
import math
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest


@pytest.fixture(scope="module")
def sm() -> Any:
    path = Path(__file__).parents[1] / "second_method.py"
    spec = importlib.util.spec_from_file_location("kerfwright_second_method_alone", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


START = "G21\nG17 G90\nM3 S18000\nG0 Z8\n"
END = "G0 Z8\nM5\nM2\n"
SQUARE = START + "X-1 Y-1\nG1 Z-2.4 F100\nX21 F500\nY21\nX-1\nY-1\n" + END
"""Around a square of 20 mm with a cutter of 2 mm, corners sharp."""


def square(sm: Any, bridge: Any = None) -> Any:
    """20 mm square with zero at its corner, cut through a sheet of 2 mm, 0.4 mm into the board, held by tape."""
    outer = sm.Task("outside", sm.rectangle((0, 0), (20, 20), 0), -2.4, 1.0, True, bridge)
    return sm.Sheet([sm.Solid("square", outer)], 0.0, -2.0, -2.0, (-10, -10, 30, 30), False)


def told(sm: Any, text: str, **more: Any) -> Any:
    return sm.judge(square(sm, **more), [(sm.read(text), 1.0, 0.0)])


def test_distances_from_an_arc_and_a_line(sm: Any) -> None:
    p = np.array([[0.0, 0.0], [5.0, 0.0], [0.0, -3.0], [3.0, 4.0]])
    half = np.array([[0.0, 0.0, 2.0, 0.0, math.pi]])
    assert sm.to_arcs(p, half)[:, 0] == pytest.approx([2, 3, math.sqrt(13), 3])
    clockwise = np.array([[0.0, 0.0, 2.0, math.pi, -math.pi]])
    assert sm.to_arcs(p, clockwise)[:, 0] == pytest.approx([2, 3, math.sqrt(13), 3])
    assert sm.to_lines(p, np.array([[1.0, 0.0, 1.0, 9.0]]))[:, 0] == pytest.approx([1, 4, math.sqrt(10), 2])


def test_inside_of_each_shape(sm: Any) -> None:
    p = np.array([[0.0, 0.5], [0.9, 0.9], [2.4, 0.0], [0.0, 0.0]])
    assert sm.inside(sm.circle((0, 0), 2), p).tolist() == [True, False, False, True]
    assert sm.inside(sm.slot((-2, 0), (2, 0), 1.2), p).tolist() == [True, False, True, True]
    assert sm.inside(sm.rectangle((-1, -1), (2, 2), 0.5), p).tolist() == [True, False, False, True]
    assert sm.inside(sm.dee((0, 0.1), 1), p).tolist() == [True, False, False, False]


def test_extent_of_a_turned_slot(sm: Any) -> None:
    """Centers 10 mm apart along a slope of 3 to 4, 2 mm wide: each end adds a radius."""
    got = sm.extent(sm.moved(sm.slot((0, 0), (10, 0), 2), math.degrees(math.atan2(4, 3)), 1, 1))
    assert got == pytest.approx((0, 0, 8, 10))


def test_a_right_square_is_right(sm: Any) -> None:
    out = told(sm, SQUARE)
    assert out.faults == []
    assert out.gouge["square"] == pytest.approx(0, abs=1e-6)
    assert out.leftover["square"] == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(
    ("old", "new", "gouge", "leftover"),
    [
        ("X21 F500\nY21", "X20.95 F500\nY21", 0.05, 0.0),
        ("X21 F500\nY21", "X21.05 F500\nY21", 0.0, 0.05),
        ("Y21\nX-1\n", "Y21.1\nX-1\n", 0.0, 0.1),
    ],
)
def test_a_side_moved_by_so_much(sm: Any, old: str, new: str, gouge: float, leftover: float) -> None:
    """A straight moved by d towards the square cuts d into it, away from it leaves d."""
    assert old in SQUARE
    out = told(sm, SQUARE.replace(old, new))
    assert out.gouge["square"] == pytest.approx(gouge, abs=1e-3)
    assert out.leftover["square"] == pytest.approx(leftover, abs=1e-3)


def test_a_half_circle_in_place_of_a_side(sm: Any) -> None:
    """It bulges outwards over the far side, whose middle then stays."""
    out = told(sm, SQUARE.replace("Y21\nX-1\n", "Y21\nG3 X-1 Y21 I-11 J0\nG1 "))
    assert out.leftover["square"] > 0.5
    assert out.gouge["square"] == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("M2", "", "no program end"),
        ("M3 S18000\n", "", "spindle stands"),
        ("G1 Z-2.4", "G0 Z-2.4", "rapid in the sheet"),
        ("F100", "", "no feed"),
        ("Z-2.4", "Z-3.4", "deepest floor"),
    ],
)
def test_faults_of_motion(sm: Any, old: str, new: str, fault: str) -> None:
    assert old in SQUARE
    text = SQUARE.replace(old, new, 1)
    assert any(fault in f for f in told(sm, text).faults)


def lifted(width: float) -> str:
    """The square's way with a lift on the near and the far side that leaves waists of `width`."""
    a, b = 10 - width / 2 - 1, 10 + width / 2 + 1
    return START + (
        f"X-1 Y-1\nG1 Z-2.4 F100\nX{a:.3f} F500\nZ-1.5\nX{b:.3f}\nZ-2.4\nX21\nY21\n"
        f"X{b:.3f}\nZ-1.5\nX{a:.3f}\nZ-2.4\nX-1\nY-1\n"
    ) + END  # fmt: skip


def test_bridges_are_measured(sm: Any) -> None:
    out = told(sm, lifted(0.8), bridge=(0.8, 0.5))
    assert (out.faults, out.bridges) == ([], 2)
    assert any("is 0.5" in f for f in told(sm, lifted(0.5), bridge=(0.8, 0.5)).faults)
    assert "no bridge stands on an outline that must have two" in told(sm, SQUARE, bridge=(0.8, 0.5)).faults


def test_what_comes_loose(sm: Any) -> None:
    sheet = square(sm)
    sheet.linked = True
    assert any("come loose" in f for f in sm.judge(sheet, [(sm.read(SQUARE), 1.0, 0.0)]).faults)
    assert not any("come loose" in f for f in sm.judge(sheet, [(sm.read(lifted(0.8)), 1.0, 0.0)]).faults)


def test_reads_what_it_knows_and_nothing_else(sm: Any) -> None:
    moves = sm.read("G20 G91\nG1 X1 Y0 Z0 F2\nX1\n").moves
    assert np.isnan(moves[0].b).all()  # counted from nowhere
    assert sm.read("G21 G90\nG0 X0 Y0 Z0\nG91 G1 X2 F5\nG3 X2 Y2 J2\n").moves[-1].arc[:3] == pytest.approx((2, 2, 2))
    drilled = sm.read("G21 G90\nG0 Z8\nX0 Y0\nG98 G81 X5 Y1 Z-2 R1 F80\nX6\nG80\n").moves[2:]
    assert [(*m.b, m.kind) for m in drilled] == [
        (5, 1, 8, 0), (5, 1, 1, 0), (5, 1, -2, 1), (5, 1, 8, 0), (6, 1, 8, 0), (6, 1, 1, 0), (6, 1, -2, 1), (6, 1, 8, 0),
    ]  # fmt: skip
    for wrong in ("G81 X1\n", "G0 X0 Y0 Z0\nG2 X5 Y5 I1\n", "G1 X1 ?\n"):
        with pytest.raises(ValueError, match="line"):
            sm.read(wrong)
