"""The rates of one operation, and why they are what they are."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

__all__ = ["Rates"]


@frozen
class Rates:
    """Spindle rpm, feeds mm/min, axial depth mm, radial depth as a fraction of DC. `sources`: one line for each."""

    spindle: float
    feed: float
    plunge_feed: float
    axial_depth: float
    radial_depth: float
    sources: Mapping[str, str]
