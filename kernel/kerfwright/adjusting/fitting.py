"""Weighted least squares: values, covariance, residuals, and what cannot be told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np
from attrs import define

from kerfwright.adjusting.digits import resolution
from kerfwright.adjusting.measured import Measured
from kerfwright.adjusting.model import Array, Parameter, design, parameters
from kerfwright.adjusting.quantiles import chi_square_above, student
from kerfwright.adjusting.telling import Untold, tell

__all__ = ["LEVEL", "Fit", "fit"]

LEVEL = 0.95


@define(frozen=True, eq=False, slots=False)
class Fit:
    """Arrays over parameters (p) or sizes (n). Diameters in mm, scales as fractions, squareness in rad.

    `shape` is the covariance but for its factor: `scatter` squared, the variance of unit weight, 1 where uncertainties were
    given, None where nothing is left over to estimate it from. An estimated one is never less than `floor`, what the rounding
    of the sizes to the digits written does alone: sizes that happen to agree better were not measured better.
    """

    sizes: tuple[Measured, ...]
    parameters: tuple[Parameter, ...]
    values: Array
    shape: Array
    effects: Array
    """(n, p): the columns of the design that were kept."""
    sigma: Array
    scatter: float | None
    floor: float
    given: bool
    """Uncertainties were given, and are absolute."""
    diameters: Mapping[str, float]
    untold: tuple[Untold, ...]
    depends: Mapping[str, tuple[Parameter, ...]]

    @property
    def freedom(self) -> int:
        """Sizes less parameters."""
        return len(self.sizes) - len(self.parameters)

    @property
    def residuals(self) -> Array:
        """Measured less what the values explain (mm)."""
        return np.array([s.deviation for s in self.sizes]) - self.explained

    @property
    def explained(self) -> Array:
        """Deviation from nominal that the values explain (mm)."""
        out: Array = self.effects @ self.values
        return out

    @property
    def covariance(self) -> Array | None:
        """Of the values."""
        if self.scatter is None:
            return None
        out: Array = self.shape * self.scatter**2
        return out

    @property
    def uncertainties(self) -> Array | None:
        """Standard, of the values."""
        return None if self.covariance is None else np.sqrt(np.diag(self.covariance))

    @property
    def factor(self) -> float:
        """Half the 95 % interval over the standard uncertainty: of the normal distribution, or of Student's t."""
        return student(LEVEL, None if self.given else self.freedom)

    @property
    def intervals(self) -> Array | None:
        """(p, 2): the 95 % interval of each value."""
        if self.uncertainties is None:
            return None
        half = self.factor * self.uncertainties
        return np.column_stack([self.values - half, self.values + half])

    @cached_property
    def leverage(self) -> Array:
        """How much of each size's own error its explanation follows, 0 to 1: at 1 no other size controls it."""
        weighted = self.effects / self.sigma[:, None]
        out: Array = np.clip(np.einsum("np,pq,nq->n", weighted, self.shape, weighted), 0, 1)
        return out

    @property
    def explained_uncertainty(self) -> Array | None:
        """Standard, of `explained` (mm)."""
        if self.covariance is None:
            return None
        squares = np.einsum("np,pq,nq->n", self.effects, self.covariance, self.effects)
        out: Array = np.sqrt(np.maximum(squares, 0))
        return out

    @property
    def agreement(self) -> float | None:
        """Probability that sizes of the given uncertainties scatter as much as these; None where it cannot be asked."""
        if not self.given or self.freedom < 1:
            return None
        return chi_square_above(float(np.sum((self.residuals / self.sigma) ** 2)), self.freedom)

    def value(self, key: str) -> float:
        """By key; 0 for one that was left out."""
        return next((float(v) for p, v in zip(self.parameters, self.values, strict=True) if p.key == key), 0.0)


def fit(sizes: Sequence[Measured], diameters: Mapping[str, float]) -> Fit:
    """The values that explain sizes best, weighted by their uncertainty; `diameters` as for `design`.

    Uncertainties, where given, are absolute; else all sizes weigh the same and the scatter is estimated from what is left over,
    but not below that of a rectangular distribution as wide as the last digit written: step / √12 (ISO/IEC Guide 98-3,
    4.3.7, from memory).
    """
    of, whole = parameters(sizes), design(sizes, diameters)
    given = all(s.uncertainty is not None for s in sizes)
    sigma = np.array([s.uncertainty if given else 1.0 for s in sizes], float)
    weighted = whole / sigma[:, None]
    kept, untold, depends = tell(weighted, of)
    chosen = weighted[:, kept]
    norms = np.linalg.norm(chosen, axis=0)
    left, singular, right = np.linalg.svd(chosen / norms, full_matrices=False)
    back = (right.T / singular) / norms[:, None]
    deviations = np.array([s.deviation for s in sizes]) / sigma
    values = back @ (left.T @ deviations)
    over = len(sizes) - len(kept)
    scatter, floor = (1.0, 0.0) if given else (None, resolution([s.measured for s in sizes]) / 12**0.5)
    if not given and over > 0:
        scatter = max(float(np.sqrt(np.sum((deviations - chosen @ values) ** 2) / over)), floor)
    return Fit(
        sizes=tuple(sizes), parameters=tuple(of[k] for k in kept), values=values, shape=back @ back.T,
        effects=whole[:, kept], sigma=sigma, scatter=scatter, floor=floor, given=given, diameters=dict(diameters), untold=tuple(untold), depends=depends,
    )  # fmt: skip
