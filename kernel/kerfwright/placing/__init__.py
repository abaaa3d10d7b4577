"""From a job to its sheets as they lie on the machine."""

from __future__ import annotations

from kerfwright.placing.place import place

__all__ = ["place"]
