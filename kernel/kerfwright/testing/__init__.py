"""For those who write plugins: `prove_strategy(Mine)` or `prove_dialect(Mine)` in a test is all there is to it."""

from __future__ import annotations

from kerfwright.testing.dialects import DialectReport, prove_dialect
from kerfwright.testing.proving import Report, instance_of, prove_strategy
from kerfwright.testing.specimens import Specimen, all_of_them
from kerfwright.testing.trials import Outcome, job_of, kinds_of, tried

__all__ = [
    "DialectReport",
    "Outcome",
    "Report",
    "Specimen",
    "all_of_them",
    "instance_of",
    "job_of",
    "kinds_of",
    "prove_dialect",
    "prove_strategy",
    "tried",
]
