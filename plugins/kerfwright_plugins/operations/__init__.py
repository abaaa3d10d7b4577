"""Operations beyond the core, one file each: their parameters, and where the cutter goes. What they take from a sheet is
described for the proof in `takings`, which shares nothing with this folder.
"""

from __future__ import annotations

from kerfwright.hookspecs import hookimpl
from kerfwright.operation import Operation
from kerfwright_plugins.operations.countersink import Countersink
from kerfwright_plugins.operations.edge_break import EdgeBreak
from kerfwright_plugins.operations.mark import Mark
from kerfwright_plugins.operations.plane_milling import PlaneMilling

__all__ = ["kerfwright_operations"]


@hookimpl
def kerfwright_operations() -> list[type[Operation]]:
    """By their kind."""
    return [Countersink, EdgeBreak, Mark, PlaneMilling]
