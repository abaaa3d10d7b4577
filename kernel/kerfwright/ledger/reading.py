"""A ledger's file to values, with every fault told at its place."""

from __future__ import annotations

from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np
import shapely

from kerfwright.errors import InputError
from kerfwright.jobfile.given import given
from kerfwright.jobfile.nodes import Mapped, Node, Scalar, parse
from kerfwright.jobfile.reading import BAD, Custom, Reader
from kerfwright.jobfile.words import shown
from kerfwright.ledger.values import Ledger

__all__ = ["read_ledger"]


def read_ledger(file: str | Path, data: bytes | None = None) -> Ledger:
    """What a ledger says. `data` is read instead of the file where given. Raises InputError with all faults."""
    name = str(file)
    root, faults = parse(given(name) if data is None else data, name)
    reader = Reader(name, MappingProxyType({"wkt": Custom(_area)}), faults=faults)
    if isinstance(root, Scalar) and root.empty:  # a new file, or one of which all was deleted
        root = Mapped(1, 1, ())
    found: Any = reader.mapping(root, Ledger, "")
    if found is not BAD:
        _once(reader, "cutters", "name", [f"{c.name!r}, {c.kind}" for c in found.cutters])
        _once(reader, "boards", "machine", [repr(b.machine) for b in found.boards])
    if reader.faults:
        raise InputError(sorted(reader.faults, key=lambda f: (f.line, f.column)))
    ledger: Ledger = found
    return ledger


def _once(reader: Reader, key: str, of: str, names: list[str]) -> None:
    for k, one in enumerate(names):
        if one in names[:k]:
            reader.fault(None, f"{key}[{k}].{of}", f"found {one} a second time, allowed: once")


def _area(reader: Reader, node: Node, path: str, _: str) -> Any:
    wrong = f"found {shown(node)}, allowed: WKT of polygons, as this tool wrote it"
    try:
        with np.errstate(all="ignore"):  # numbers without end make an area that is not valid
            area = shapely.from_wkt(node.text if isinstance(node, Scalar) else "")
    except shapely.errors.ShapelyError:
        return reader.fault(node, path, wrong)
    if area is None or area.geom_type not in ("Polygon", "MultiPolygon") or not shapely.is_valid(area):
        return reader.fault(node, path, wrong)
    return area
