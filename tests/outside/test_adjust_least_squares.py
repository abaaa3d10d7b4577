"""The least squares of `adjust`. Source: numpy.linalg.lstsq and scipy (optimize.curve_fit, stats.t, stats.chi2), libraries.

The design is written out here by hand from geometry: cutter 2 mm, center moved by nominal + 2 for an outside size, nominal - 2 for
an inside one; along 30 deg cos² = 0.75, sin² = 0.25, sin cos = 0.4330127; along 135 deg 0.5, 0.5, -0.5.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, stats

from kerfwright.adjusting import Measured, fit
from kerfwright.adjusting.quantiles import chi_square_above, student

STATED = [
    # kind, nominal, measured, along, standard uncertainty, and its row: diameter, X, Y, squareness
    ("outside", 60.0, 60.052, 0.0, 0.010, (-1, 62, 0, 0)),
    ("outside", 40.0, 40.061, 90.0, 0.010, (-1, 0, 42, 0)),
    ("inside", 22.0, 21.948, 0.0, 0.015, (1, 20, 0, 0)),
    ("inside", 12.0, 11.957, 90.0, 0.015, (1, 0, 10, 0)),
    ("inside", 2.0, 1.946, 90.0, 0.020, (1, 0, 0, 0)),
    ("centers", 50.0, 50.018, 0.0, 0.008, (0, 50, 0, 0)),
    ("centers", 80.0, 79.981, 90.0, 0.008, (0, 0, 80, 0)),
    ("centers", 70.0, 70.021, 30.0, 0.012, (0, 52.5, 17.5, 30.310889)),
    ("centers", 70.0, 69.987, 135.0, 0.012, (0, 35, 35, -35)),
]
ROWS = np.array([row[5] for row in STATED], float)
OFF = np.array([row[2] - row[1] for row in STATED])
SIGMA = np.array([row[4] for row in STATED])


def sizes(known: bool) -> list[Measured]:
    return [
        Measured(
            name=str(k), kind=kind, nominal=n, measured=m, along=a, cutter="mill", uncertainty=u if known else None
        )
        for k, (kind, n, m, a, u, _) in enumerate(STATED)
    ]


@pytest.mark.parametrize("known", [True, False], ids=["stated", "estimated"])
def test_values_and_covariance(known: bool) -> None:
    found = fit(sizes(known), {"mill": 2.0})
    sigma = SIGMA if known else np.ones(len(OFF))
    assert found.effects == pytest.approx(ROWS, abs=1e-5)
    values = np.linalg.lstsq(ROWS / sigma[:, None], OFF / sigma, rcond=None)[0]
    assert found.values == pytest.approx(values, rel=1e-6, abs=1e-12)

    def model(_: object, *p: float) -> np.ndarray:
        return ROWS @ np.array(p)

    scale = np.array([1, 1e-3, 1e-3, 1e-3])  # so that the library's steps suit every value
    best, covariance = optimize.curve_fit(
        lambda _, *p: model(_, *(p * scale)),
        np.arange(len(OFF)),
        OFF,
        p0=np.zeros(4),
        sigma=sigma,
        absolute_sigma=known,
    )
    best, covariance = best * scale, covariance * np.outer(scale, scale)
    assert found.values == pytest.approx(best, rel=1e-4, abs=1e-9)
    assert found.covariance == pytest.approx(covariance, rel=1e-4)
    half = (stats.norm.ppf(0.975) if known else stats.t.ppf(0.975, 5)) * np.sqrt(np.diag(covariance))
    assert found.freedom == 5
    assert found.intervals == pytest.approx(np.column_stack([best - half, best + half]), rel=1e-3, abs=1e-8)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 8, 13, 30, 101])
def test_quantiles(freedom: int) -> None:
    for level in (0.5, 0.95, 0.995, 0.9999):
        assert student(level, freedom) == pytest.approx(stats.t.ppf((1 + level) / 2, freedom), rel=1e-8)
    for value in (0.01, 1.0, 7.5, 60.0):
        assert chi_square_above(value, freedom) == pytest.approx(stats.chi2.sf(value, freedom), rel=1e-9, abs=1e-15)
