"""Which reader reads which `custom` field of a job file."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kerfwright.jobfile import lists, operations, output, parts, quoted, selecting, sheets, strategies, tools
from kerfwright.jobfile.reading import Custom

__all__ = ["CUSTOMS"]

CUSTOMS: Mapping[str, Custom] = MappingProxyType(
    {
        "area": Custom(sheets.area, keys=("circle", "rectangle", "polygon")),
        "cutter": Custom(tools.cutter),
        "cutters": Custom(tools.cutters),
        "dialect": Custom(output.machine_dialect),
        "depth": Custom(operations.depth),
        "drawing": Custom(parts.drawing, keys=("drawing", "shapes")),
        "edge": Custom(sheets.edge),
        "flutes": Custom(lists.flutes),
        "heard": Custom(output.heard),
        "machine": Custom(tools.machine),
        "material": Custom(tools.material),
        "numbers": Custom(lists.numbers),
        "operations": Custom(operations.operations),
        "output": Custom(output.dialect),
        "pair": Custom(lists.pair),
        "places": Custom(parts.places),
        "points": Custom(parts.points),
        "quote": Custom(quoted.quote),
        "range": Custom(lists.span),
        "select": Custom(selecting.select),
        "strategy": Custom(strategies.strategy),
        "thickness": Custom(sheets.thickness),
        "tolerance": Custom(output.tolerance),
    }
)
