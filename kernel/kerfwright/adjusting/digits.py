"""How fine an instrument's last digit is, told from the sizes that were written down."""

from __future__ import annotations

from collections.abc import Sequence

from kerfwright.units import INCH

__all__ = ["resolution"]

STEPS = (0.1, 0.01, 0.001, 0.0001)
INCHES = (0.001 * INCH, 0.0005 * INCH, 0.0001 * INCH)
"""Coarser and finer ones are not looked for: 0.1 mm is read off a rule, 0.0001 mm no caliper or micrometer shows."""
EXACT = 1e-6


def resolution(sizes: Sequence[float]) -> float:
    """The coarsest step (mm) that all sizes (mm) are whole multiples of: a decimal one of mm, else of inches.

    Zeros at the end are lost, and need not be written: one size with another last digit tells. 0.0001 mm where no step fits.

    >>> resolution([80.1, 50.07]), resolution([25.4 * 2.004, 25.4 * 1.5]), resolution([1 / 3])
    (0.01, 0.0254, 0.0001)
    """
    steps = (*STEPS[:3], *INCHES)
    return next((step for step in steps if all(abs(v - step * round(v / step)) < EXACT for v in sizes)), STEPS[-1])
