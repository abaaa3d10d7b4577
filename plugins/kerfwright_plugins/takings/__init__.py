"""What the operations beyond the core take from a sheet, one file each, for the proof. Nothing here has seen a way."""

from __future__ import annotations

from kerfwright.hookspecs import hookimpl
from kerfwright.taking import Taking
from kerfwright_plugins.takings.countersink import CountersinkTaking
from kerfwright_plugins.takings.edge_break import EdgeBreakTaking
from kerfwright_plugins.takings.mark import MarkTaking
from kerfwright_plugins.takings.plane_milling import PlaneMillingTaking

__all__ = ["kerfwright_takings"]


@hookimpl
def kerfwright_takings() -> list[type[Taking]]:
    """By the kind of their operation."""
    return [CountersinkTaking, EdgeBreakTaking, MarkTaking, PlaneMillingTaking]
