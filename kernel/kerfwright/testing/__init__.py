"""For those who write plugins: proves a strategy. `prove_strategy(Mine)` in a test is all there is to it."""

from __future__ import annotations

from kerfwright.testing.proving import Report, instance_of, prove_strategy
from kerfwright.testing.specimens import Specimen, all_of_them
from kerfwright.testing.trials import Outcome, job_of, kinds_of, tried

__all__ = [
    "Outcome",
    "Report",
    "Specimen",
    "all_of_them",
    "instance_of",
    "job_of",
    "kinds_of",
    "prove_strategy",
    "tried",
]
