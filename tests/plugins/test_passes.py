"""Depths of passes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kerfwright.errors import NoRoom
from kerfwright_plugins.passes.equal import Equal
from kerfwright_plugins.passes.listed import ListedPasses
from kerfwright_plugins.passes.single import Single


@pytest.mark.parametrize(
    ("top", "bottom", "axial_depth", "levels"),
    [
        (0.0, -2.4, 1.0, [-0.8, -1.6, -2.4]),
        (0.0, -2.4, 0.8, [-0.8, -1.6, -2.4]),
        (0.0, -2.4, 3.0, [-2.4]),
        (2.0, -0.4, 1.2, [0.8, -0.4]),
        (0.0, -0.3, 0.1, [-0.1, -0.2, -0.3]),
    ],
)
def test_equal_passes_by_hand(top: float, bottom: float, axial_depth: float, levels: list[float]) -> None:
    assert Equal()(top, bottom, axial_depth).tolist() == pytest.approx(levels)


@given(st.floats(-5, 20), st.floats(0.01, 30), st.floats(0.05, 10))
def test_equal_passes_are_equal_few_and_reach_the_bottom(top: float, depth: float, axial_depth: float) -> None:
    bottom = top - depth
    z = [top, *Equal()(top, bottom, axial_depth).tolist()]
    steps = [a - b for a, b in zip(z, z[1:], strict=False)]
    assert z[-1] == bottom
    assert max(steps) <= axial_depth + 1e-6
    assert max(steps) - min(steps) < 1e-9
    assert len(steps) <= max(1, math.ceil(depth / axial_depth))


def test_a_single_pass_takes_all_at_once() -> None:
    assert Single()(0.0, -9.5, 0.1).tolist() == [-9.5]


LISTED = [
    # depths below the sheet's top, top and bottom (Z 0 is the sheet's top), axial depth, levels
    ((0.5, 1.0, 1.8), 0.0, -1.8, 1.0, [-0.5, -1.0, -1.8]),
    ((0.5, 1.0), 0.0, -1.8, 1.0, [-0.5, -1.0, -1.8]),  # the floor is the last, said or not
    ((0.5, 1.0, 2.0), 0.0, -2.4, 1.0, [-0.5, -1.0, -2.0, -2.4]),  # through: to the breakthrough
    ((1.2,), -0.8, -1.5, 0.5, [-1.2, -1.5]),  # from 0.8 mm
    ((0.5,), 0.1, -0.9, 0.6, [-0.5, -0.9]),  # zero on the board: the sheet may be thicker than it counts
]


@pytest.mark.parametrize(("depths", "top", "bottom", "axial_depth", "levels"), LISTED)
def test_listed_passes_by_hand(
    depths: tuple[float, ...], top: float, bottom: float, axial_depth: float, levels: list[float]
) -> None:
    assert ListedPasses(depths=depths)(top, bottom, axial_depth).tolist() == pytest.approx(levels, abs=1e-12)


CONTRADICTED = [
    ((0.5, 1.0), -0.5, -1.5, 1.0, "found a depth of 0.5 mm, allowed: below 0.5 mm, where material begins"),
    ((0.5, 1.0), -0.8, -1.5, 1.0, "found a depth of 0.5 mm, allowed: below 0.8 mm, where material begins"),
    ((0.5, 1.6), 0.0, -1.5, 1.2, "found a depth of 1.6 mm, allowed: at most 1.5 mm, the floor"),
    (
        (0.5, 1.8),
        0.0,
        -1.8,
        1.0,
        "found 1.3 mm in one pass, down to 1.8 mm, allowed: at most the axial depth of 1 mm, or say another `axial_depth`",
    ),
]


@pytest.mark.parametrize(("depths", "top", "bottom", "axial_depth", "message"), CONTRADICTED)
def test_listed_passes_that_contradict_what_is_asked(
    depths: tuple[float, ...], top: float, bottom: float, axial_depth: float, message: str
) -> None:
    with pytest.raises(NoRoom) as e:
        ListedPasses(depths=depths)(top, bottom, axial_depth)
    assert str(e.value) == message


@pytest.mark.parametrize(
    ("depths", "found"), [((), "none"), ((1.0, 0.5), "1, 0.5"), ((0.5, 0.5), "0.5, 0.5"), ((0.0, 1.0), "(0.0, 1.0)")]
)
def test_depths_rise(depths: tuple[float, ...], found: str) -> None:
    with pytest.raises(ValueError, match="each above the last") as e:
        ListedPasses(depths=depths)
    assert str(e.value) == f"depths: found {found}, allowed: one number above 0 mm or more, each above the last"


def test_a_stretch_has_the_depths_in_it_and_its_end() -> None:
    assert ListedPasses(depths=(0.5, 1.0, 1.8, 2.2)).stretch(0.0, 1.7) == ListedPasses(depths=(0.5, 1.0, 1.7))
    assert ListedPasses(depths=(0.5, 1.0, 1.8, 2.2)).stretch(1.7, 2.4) == ListedPasses(depths=(1.8, 2.2, 2.4))
