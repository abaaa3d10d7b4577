"""Strokes of a drill."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfwright.strategy import Cycle
from kerfwright_plugins.cycle.chip_break import ChipBreak
from kerfwright_plugins.cycle.peck import Peck
from kerfwright_plugins.cycle.straight import Straight


@pytest.mark.parametrize(("top", "bottom"), [(2.0, -2.9), (14.0, -0.4)])
def test_straight_is_one_stroke_down_and_up_by_rapid(top: float, bottom: float) -> None:
    """Rows: down to, up to, up by rapid (1), dwell."""
    assert Straight()(top, bottom).tolist() == [[bottom, top, 1.0, 0.0]]


ROWS = [
    # 4.8 mm in strokes of 2 mm at most: three of 1.6 mm
    (Peck(depth=2), [[0.4, 2, 1, 0], [-1.2, 2, 1, 0], [-2.8, 2, 1, 0]]),
    (ChipBreak(depth=2, back=0.3), [[0.4, 0.7, 1, 0], [-1.2, -0.9, 1, 0], [-2.8, 2, 1, 0]]),
    # no higher than the approach plane
    (ChipBreak(depth=2, back=5), [[0.4, 2, 1, 0], [-1.2, 2, 1, 0], [-2.8, 2, 1, 0]]),
    # exactly as deep as asked: no stroke more; and one that reaches in one
    (Peck(depth=1.6), [[0.4, 2, 1, 0], [-1.2, 2, 1, 0], [-2.8, 2, 1, 0]]),
    (Peck(depth=4.8), [[-2.8, 2, 1, 0]]),
    (ChipBreak(depth=50), [[-2.8, 2, 1, 0]]),
]


@pytest.mark.parametrize(("cycle", "rows"), ROWS, ids=repr)
def test_strokes(cycle: Cycle, rows: list[list[float]]) -> None:
    """From 2 to -2.8."""
    assert cycle(2.0, -2.8) == pytest.approx(np.array(rows))


SEEN: list[int] = []


@given(top=st.floats(0.5, 20), deep=st.floats(0.01, 30), depth=st.floats(0.05, 5), back=st.floats(0.001, 10))
def _strokes_are_even(top: float, deep: float, depth: float, back: float) -> None:
    """None deeper than asked, all equal, as few as can be, at exactly the bottom in the end; no stroke waits."""
    bottom = top - deep
    for cycle in (Peck(depth=depth), ChipBreak(depth=depth, back=back)):
        rows = cycle(top, bottom)
        each = -np.diff(np.concatenate([[top], rows[:, 0]]))
        assert each.max() <= depth * (1 + 1e-6)
        assert each.min() == pytest.approx(each.max(), abs=1e-9)
        assert deep / max(len(rows) - 1, 0.5) >= depth * (1 - 1e-6) or len(rows) == 1
        assert rows[-1].tolist() == [bottom, top, 1.0, 0.0]
        assert (rows[:, 1] > rows[:, 0]).all()
        assert rows[:, 1].max() <= top
        assert not rows[:, 3].any()
        SEEN.append(len(rows))


def test_strokes_are_even_whatever_the_hole() -> None:
    _strokes_are_even()
    assert len(SEEN) >= 100
    assert max(SEEN) > 20
