"""Which reader reads which `custom` field of a job file, and which fragment of JSON Schema says the same of it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kerfwright.jobfile import lists, operations, output, parts, quoted, selecting, sheets, strategies, tools
from kerfwright.jobfile.reading import Custom

__all__ = ["CUSTOMS"]

CUSTOMS: Mapping[str, Custom] = MappingProxyType(
    {
        "area": Custom(sheets.area, sheets.area_schema, keys=("circle", "rectangle", "polygon")),
        "cutter": Custom(tools.cutter, tools.cutter_schema),
        "cutters": Custom(tools.cutters, tools.cutters_schema),
        "dialect": Custom(output.machine_dialect, output.dialect_schema),
        "depth": Custom(operations.depth, operations.depth_schema),
        "drawing": Custom(parts.drawing, parts.drawing_schema, keys=("drawing", "shapes")),
        "edge": Custom(sheets.edge, sheets.edge_schema),
        "flutes": Custom(lists.flutes, lists.flutes_schema),
        "heard": Custom(output.heard, output.heard_schema),
        "machine": Custom(tools.machine, tools.machine_schema),
        "material": Custom(tools.material, tools.material_schema),
        "numbers": Custom(lists.numbers, lists.numbers_schema),
        "operations": Custom(operations.operations, operations.operations_schema),
        "output": Custom(output.dialect, output.dialect_schema),
        "pair": Custom(lists.pair, lists.pair_schema),
        "places": Custom(parts.places, parts.places_schema),
        "points": Custom(parts.points, parts.points_schema),
        "quote": Custom(quoted.quote, quoted.quote_schema),
        "range": Custom(lists.span, lists.span_schema),
        "select": Custom(selecting.select, selecting.select_schema),
        "strategy": Custom(strategies.strategy, strategies.strategy_schema),
        "thickness": Custom(sheets.thickness, sheets.thickness_schema),
        "tolerance": Custom(output.tolerance, output.tolerance_schema),
    }
)
