"""From measured sizes of a first part to the correction that brings the next one home."""

from __future__ import annotations

from kerfwright.adjusting.acceptance import accepted
from kerfwright.adjusting.fitting import Fit, fit
from kerfwright.adjusting.measured import Measured
from kerfwright.adjusting.outliers import outliers, standardized
from kerfwright.adjusting.reading import read_measured

__all__ = ["Fit", "Measured", "accepted", "fit", "outliers", "read_measured", "standardized"]
