"""Adjusting: what is told lies where it says, what cannot be told is said, and doubt changes nothing."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kerfwright.adjusting import Measured, fit, outliers, standardized
from kerfwright.adjusting.adjustment import adjust
from kerfwright.adjusting.digits import resolution
from kerfwright.adjusting.patching import CannotPatch, with_measured
from kerfwright.cutter import Cutter
from kerfwright.errors import InputError

TRUE = {"diameter:mill": -0.07, "scale_x": 4e-4, "scale_y": -3e-4, "square": 5e-4}
MILL = Cutter(name="mill", form="end_mill", diameter=2.0, flute_length=8.0)
DRILL = Cutter(name="drill", form="drill", diameter=3.0, point_angle=118.0, flute_length=20.0)
PLACES = [
    ("outside", 60, 0), ("outside", 60, 0), ("outside", 40, 90), ("inside", 20, 0), ("inside", 12, 90), ("inside", 5, 0),
    ("centers", 50, 0), ("centers", 30, 90), ("centers", 30, 90), ("centers", 58.31, 30.96), ("centers", 58.31, 149.04),
]  # fmt: skip


def made(kind: str, nominal: float, along: float) -> float:
    """The size of a piece whose machine moves (1 + a) x + g y, (1 + b) y: not linear, from points that are moved."""
    side = {"outside": -1, "inside": 1, "centers": 0}[kind]
    moved, t = nominal - side * 2.0, math.radians(along)
    x, y = moved * math.cos(t), moved * math.sin(t)
    x, y = (1 + TRUE["scale_x"]) * x + TRUE["square"] * y, (1 + TRUE["scale_y"]) * y
    return math.hypot(x, y) + side * (2.0 + TRUE["diameter:mill"])


def size(kind: str, nominal: float, along: float, off: float = 0.0, **more: object) -> Measured:
    said: dict[str, object] = {"name": f"{kind} {nominal:g}", "cutter": None if kind == "centers" else "mill", **more}
    return Measured(kind=kind, nominal=nominal, along=along, measured=nominal + off, **said)  # type: ignore[arg-type]


@pytest.mark.parametrize("known", [True, False], ids=["stated", "estimated"])
def test_the_true_values_lie_in_the_interval_in_95_of_100_runs(known: bool) -> None:
    """Seeds 0 to 999, noise of 0.006 or 0.012 mm; each value alone in 93 to 97 % of the runs."""
    sigma = np.where(np.arange(len(PLACES)) % 2, 0.012, 0.006) if known else np.full(len(PLACES), 0.009)
    exact = np.array([made(*p) - p[1] for p in PLACES])
    inside = np.zeros(4)
    for seed in range(1000):
        noise = np.random.default_rng(seed).normal(0, sigma)
        sizes = [
            size(*p, off, uncertainty=u if known else None)
            for p, off, u in zip(PLACES, exact + noise, sigma, strict=True)
        ]
        found = fit(sizes, {"mill": 2.0})
        assert [p.key for p in found.parameters] == list(TRUE)
        low, high = found.intervals.T
        inside += (low <= list(TRUE.values())) & (list(TRUE.values()) <= high)
    assert (inside >= 930).all(), inside
    assert (inside <= 970).all(), inside


UNTOLD = {
    # name: (sizes, what is told, what is not and from what it cannot be told, what a told one takes for granted)
    "one outside size": (
        [("outside", 40, 0)],
        ["diameter:mill"],
        {"scale_x": ["diameter:mill"], "scale_y": [], "square": []},
        ["scale_x"],
    ),
    "one hole": ([("centers", 40, 90)], ["scale_y"], {"scale_x": [], "square": []}, []),
    "outside and inside": (
        [("outside", 40, 0), ("inside", 20, 0)],
        ["diameter:mill", "scale_x"],
        {"scale_y": [], "square": []},
        [],
    ),
    "nearly the same outside": (
        [("outside", 40, 0), ("outside", 42, 0)],
        ["diameter:mill"],
        {"scale_x": ["diameter:mill"], "scale_y": [], "square": []},
        ["scale_x"],
    ),
    "one diagonal": (
        [("centers", 40, 45)],
        [],
        {"scale_x": ["scale_y", "square"], "scale_y": ["scale_x", "square"], "square": ["scale_x", "scale_y"]},
        [],
    ),
    "both diagonals": (
        [("centers", 40, 45), ("centers", 40, 135)],
        ["square"],
        {"scale_x": ["scale_y"], "scale_y": ["scale_x"]},
        [],
    ),
    "axes and a diagonal": (
        [("centers", 40, 0), ("centers", 40, 90), ("centers", 40, 45)],
        ["scale_x", "scale_y", "square"],
        {},
        [],
    ),
}


@pytest.mark.parametrize(("places", "told", "untold", "granted"), UNTOLD.values(), ids=UNTOLD.keys())
def test_what_cannot_be_told_is_said(
    places: list[tuple[str, float, float]], told: list[str], untold: dict[str, list[str]], granted: list[str]
) -> None:
    found = fit([size(*p, 0.02, name=str(k), uncertainty=0.01) for k, p in enumerate(places)], {"mill": 2.0})
    assert [p.key for p in found.parameters] == told
    assert {u.parameter.key: [p.key for p in u.mixed] for u in found.untold} == untold
    assert [p.key for ps in found.depends.values() for p in ps] == granted
    assert all("measure" in str(u) for u in found.untold)


def spoiled(known: bool) -> list[Measured]:
    """Wobbling by 0.004 mm; the seventh is off by 0.1 mm."""
    offs = [made(*p) - p[1] + 0.004 * (-1) ** k + (0.1 if k == 6 else 0) for k, p in enumerate(PLACES)]
    return [
        size(*p, off, name=str(k), uncertainty=0.008 if known else None)
        for k, (p, off) in enumerate(zip(PLACES, offs, strict=True))
    ]


@pytest.mark.parametrize("known", [True, False], ids=["stated", "estimated"])
def test_an_outlier_is_named_and_changes_nothing(known: bool) -> None:
    found = adjust(spoiled(known), {"mill": MILL})
    assert [s.name for s, _ in found.outliers] == ["6"]
    assert found.refused
    assert found.measured == {}
    without = adjust(spoiled(known), {"mill": MILL}, without=["6"])
    assert not without.outliers
    assert without.measured["mill"] == pytest.approx(1.93, abs=0.005)
    assert "6 does not fit" in found.corrections[0].why
    assert found.outliers[0][1].values == pytest.approx(without.fit.values)


@pytest.mark.parametrize("known", [True, False], ids=["stated", "estimated"])
def test_a_standardized_residual_is_what_leaving_the_size_out_says(known: bool) -> None:
    """By definition: the size less what the others foretell, over the uncertainty of that difference."""
    sizes = spoiled(known)
    whole = fit(sizes, {"mill": 2.0})
    for k, one in enumerate(sizes):
        rest = fit([*sizes[:k], *sizes[k + 1 :]], {"mill": 2.0})
        assert len(rest.parameters) == 4
        row = whole.effects[k]
        own = 0.008 if known else rest.scatter
        unsure = math.sqrt(own**2 + row @ rest.covariance @ row)
        assert standardized(whole)[k] == pytest.approx((one.deviation - row @ rest.values) / unsure, rel=1e-6)


@pytest.mark.parametrize("decimals", [1, 2, 3])
def test_sizes_that_are_exact_but_for_their_last_digit_hold_no_outlier(decimals: int) -> None:
    """The true values put into the sizes, rounded as an instrument shows them, and each size alone a whole step off."""
    step = 10.0**-decimals
    exact = [round(made(*p), decimals) for p in PLACES]
    for k in range(-1, len(PLACES)):
        sizes = [
            size(*p, v + step * (n == k) - p[1], name=str(n))
            for n, (p, v) in enumerate(zip(PLACES, exact, strict=True))
        ]
        found = fit(sizes, {"mill": 2.0})
        assert outliers(found) == []
        assert found.scatter >= step / math.sqrt(12)
    same = [size("outside", 40, 0, 0.06, name=f"a{k}") for k in range(4)]
    same += [size("inside", 20, 0, -0.06, name=f"b{k}") for k in range(3)] + [size("inside", 20, 90, -0.07)]
    found = adjust(same, {"mill": MILL})  # seven agree to the digit, one reads one hundredth more
    assert not found.outliers
    assert found.measured["mill"] == pytest.approx(1.94, abs=0.01)


def test_the_last_digit_written() -> None:
    """By hand: the coarsest step that all are multiples of."""
    rows = [
        ([80.1, 50.07], 0.01),
        ([80.1, 50.0], 0.1),
        ([80.125, 3.2], 0.001),
        ([2.004 * 25.4, 25.4], 0.0254),
        ([80.0], 0.1),
    ]
    for sizes, step in rows:
        assert resolution(sizes) == pytest.approx(step), sizes
    assert resolution([math.pi]) == 0.0001


def test_without_spare_sizes_nothing_is_an_outlier_and_nothing_is_sure() -> None:
    sizes = [size("outside", 40, 0, 0.05), size("inside", 20, 0, -0.05)]
    assert outliers(fit(sizes, {"mill": 2.0})) == []
    found = adjust(sizes, {"mill": MILL})
    assert found.refused
    assert "state uncertainties" in found.corrections[0].why


CASES = {
    # name: (offs of outside 40 and inside 20 along X and Y, what is written, part of why not)
    "too large": ([0.06, 0.06, -0.06, -0.06], 1.94, ""),
    "nothing off": ([0.001, 0.0, 0.0, 0.001], None, "nothing to correct"),
    "another cutter": ([0.4, 0.4, -0.4, -0.4], None, "is it this cutter"),
}


@pytest.mark.parametrize(("offs", "written", "why"), CASES.values(), ids=CASES.keys())
def test_when_in_doubt_nothing_is_written(offs: list[float], written: float | None, why: str) -> None:
    places = [("outside", 40, 0), ("outside", 40, 90), ("inside", 20, 0), ("inside", 20, 90)]
    sizes = [size(*p, o, name=str(k), uncertainty=0.012) for k, (p, o) in enumerate(zip(places, offs, strict=True))]
    found = adjust(sizes, {"mill": MILL})
    assert found.measured.get("mill") == (None if written is None else pytest.approx(written, abs=1e-4))
    assert why in found.corrections[0].why


def test_sizes_that_scatter_more_than_they_may() -> None:
    """Twelve, each two standard uncertainties off: none stands out (2.9 of twelve), chi-square 48 of eleven does."""
    sizes = [size("outside", 40, 0, 0.06 + 0.02 * (-1) ** k, name=str(k), uncertainty=0.01) for k in range(12)]
    found = adjust(sizes, {"mill": MILL})
    assert not found.outliers
    assert found.measured == {}
    assert "scatter more" in found.corrections[0].why


def test_a_drill_is_not_corrected_by_a_path() -> None:
    sizes = [size("inside", 3, 0, 0.05, cutter="drill", uncertainty=0.01)]
    (told,) = adjust(sizes, {"drill": DRILL}).corrections
    assert (told.applies, told.refused) == (False, False)
    assert "take another" in told.why


def test_a_cutter_corrected_already_asks_what_the_piece_was_cut_at() -> None:
    """A second run on the same sizes must not correct twice."""
    sizes = [size("outside", 40, 0, 0.06, uncertainty=0.01)]
    corrected = {"mill": Cutter(name="mill", form="end_mill", diameter=2.0, measured=1.94, flute_length=8.0)}
    with pytest.raises(InputError, match=r"cut_at: found nothing, while the job says that mill measures 1\.94 mm"):
        adjust(sizes, corrected)
    said = [size("outside", 40, 0, 0.06, uncertainty=0.01, cut_at=2.0)]
    assert adjust(said, corrected).measured == {"mill": 1.94}


PATCHES = {
    "flow": ("cutters:\n  mill: {base: a}  # x\n", "cutters:\n  mill: {measured: 1.9300 mm, base: a}  # x\n"),
    "name": ("cutters: {mill: a} # x\n", "cutters: {mill: {base: a, measured: 1.9300 mm}} # x\n"),
    "there": ("cutters:\n  mill: {measured: 2, base: a}\n", "cutters:\n  mill: {measured: 1.9300 mm, base: a}\n"),
    "block": (
        "cutters:\n  mill:\n    # x\n    base: a\n  b: c\n",
        "cutters:\n  mill:\n    # x\n    measured: 1.9300 mm\n    base: a\n  b: c\n",
    ),
    "dos": (
        "cutters:\r\n  mill:\r\n    base: a\r\n",
        "cutters:\r\n  mill:\r\n    measured: 1.9300 mm\r\n    base: a\r\n",
    ),
}


@pytest.mark.parametrize(("text", "expected"), PATCHES.values(), ids=PATCHES.keys())
def test_one_value_is_set_and_all_else_stays(text: str, expected: str) -> None:
    assert with_measured(text, {"mill": 1.93}) == expected
    with pytest.raises(CannotPatch, match="no cutter 'burr'"):
        with_measured(text, {"burr": 1.93})
