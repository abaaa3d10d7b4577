"""Sizes that do not fit the rest: named, never dropped by themselves.

A residual over its own standard uncertainty, sigma √(1 − leverage), is compared with the level that the greatest of n would
pass by chance once in twenty times (Bonferroni: 1 − 0.05/n, both sides). Where uncertainties are given the normal
distribution decides (Baarda's test of single observations, 1968); where the scatter is estimated, each residual is compared
with the scatter of the others, and Student's t of one degree less decides (Cook and Weisberg, Residuals and Influence in
Regression, 1982, the outlier test); that scatter too is never less than the floor of the fit. Both from memory; the tests compare with refits that leave one out.

A gross error also pulls the residuals of its neighbours, so that only the worst is named, and the rest is asked again without it.
"""

from __future__ import annotations

import numpy as np

from kerfwright.adjusting.fitting import Fit
from kerfwright.adjusting.fitting import fit as refit
from kerfwright.adjusting.measured import Measured
from kerfwright.adjusting.model import Array
from kerfwright.adjusting.quantiles import student

__all__ = ["outliers", "standardized"]

ALONE = 1e-9
"""Less than this left of a size's own error in its residual: no other size controls it."""


def standardized(fit: Fit) -> Array:
    """(n,): residuals over their standard uncertainty; NaN where no other size controls a size, or nothing is known."""
    out = np.full(len(fit.sizes), np.nan)
    own = fit.sigma * np.sqrt(np.maximum(1 - fit.leverage, 0))
    seen = 1 - fit.leverage > ALONE
    if fit.given:
        out[seen] = fit.residuals[seen] / own[seen]
        return out
    if fit.freedom < 2:
        return out
    inside = fit.residuals[seen] / own[seen]
    others = (float(np.sum((fit.residuals / fit.sigma) ** 2)) - inside**2) / (fit.freedom - 1)
    out[seen] = inside / np.maximum(np.sqrt(np.maximum(others, 0)), fit.floor)
    return out


def outliers(fit: Fit) -> list[tuple[Measured, Fit]]:
    """The sizes that do not fit, the worst first, each with the fit without it and those before it."""
    out: list[tuple[Measured, Fit]] = []
    while (worst := _worst(fit)) is not None:
        rest = [s for k, s in enumerate(fit.sizes) if k != worst]
        size, fit = fit.sizes[worst], refit(rest, fit.diameters)
        out.append((size, fit))
    return out


def _worst(fit: Fit) -> int | None:
    """The size farthest beyond the level, or None."""
    values = np.abs(np.nan_to_num(standardized(fit)))
    if not values.any():
        return None
    level = student(1 - 0.05 / len(values), None if fit.given else fit.freedom - 1)
    worst = int(np.argmax(values))
    return worst if values[worst] > level else None
