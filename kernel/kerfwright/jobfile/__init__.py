"""Job files: YAML to a Job. Data only: nothing in one can run code or reach a file outside its own folder tree."""

from __future__ import annotations

from kerfwright.jobfile.loading import load_job

__all__ = ["load_job"]
