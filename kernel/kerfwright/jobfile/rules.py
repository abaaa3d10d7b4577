"""What must hold between keys of a job. Told with the other faults, as far as the values at hand allow."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from kerfwright.job import Planes
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.reading import BAD
from kerfwright.jobfile.words import nearest
from kerfwright.packing import Packing
from kerfwright.placing.finishing import finish_faults
from kerfwright.placing.limits import CLEARANCE
from kerfwright.sheet import Sheet

__all__ = ["NAME", "obey", "warnings"]

NAME = r"[A-Za-z0-9_-][A-Za-z0-9_.-]{0,63}"
"""A job's name: it names files."""
DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.I)
"""Names that some systems keep for devices (from memory)."""


def obey(reader: JobReader, values: Mapping[str, Any]) -> None:
    """Note every fault between the values of a job."""
    known = {name: value for name, value in values.items() if value is not BAD and value is not None}
    if "name" in known:
        _name(reader, known["name"])
    sheet = known.get("sheet")
    if sheet is not None:
        if values.get("planes") is not BAD:
            _planes(reader, known, sheet)
        _depths(reader, known.get("operations", ()), sheet)
        _turns(reader, known.get("parts", ()), sheet)
    if values.get("parts") is not BAD:
        _parts(reader, known.get("parts", ()))


def _name(reader: JobReader, name: str) -> None:
    if not re.fullmatch(NAME, name) or name.endswith(".") or DEVICES.fullmatch(name):
        allowed = (
            "letters a to z, digits, - _ and ., at most 64, neither beginning nor ending with a point, and no device"
        )
        reader.fault(None, "job", f"found {name!r}, allowed: {allowed}")


def _planes(reader: JobReader, known: Mapping[str, Any], sheet: Sheet) -> None:
    planes = known.get("planes", Planes())
    highest = max((k.height for k in sheet.keepout), default=None)
    if highest is not None and planes.travel < highest + CLEARANCE - 1e-9:
        need = f"at least {highest + CLEARANCE:g} mm, {CLEARANCE:g} mm above the highest keepout"
        reader.fault(None, "planes.travel", f"found {planes.travel:g} mm, allowed: {need}")


def _depths(reader: JobReader, operations: Any, sheet: Sheet) -> None:
    through = any(op.pierces for op in operations)
    if through and sheet.breakthrough > sheet.board + 1e-9:
        text = f"found {sheet.breakthrough:g} mm, allowed: at most sheet.board, {sheet.board:g} mm"
        reader.fault(None, "sheet.breakthrough", text)
    for k, op in enumerate(operations):
        path = f"operations[{k}].{op.kind}"
        if op.depth is not None and op.depth > sheet.thickness.most + 1e-9:
            most = f"at most {sheet.thickness.most:g} mm, the sheet's thickness, or `through`"
            reader.fault(None, f"{path}.depth", f"found {op.depth:g} mm, allowed: {most}")
        for key, text in finish_faults(op, sheet.thickness.least):
            reader.fault(None, f"{path}.{key}", text)
        bridges = getattr(op, "bridges", None)
        if bridges is not None and bridges.thickness > sheet.thickness.least + 1e-9:
            most = f"at most {sheet.thickness.least:g} mm, the sheet's thickness"
            reader.fault(None, f"{path}.bridges.thickness", f"found {bridges.thickness:g} mm, allowed: {most}")


def _turns(reader: JobReader, parts: Any, sheet: Sheet) -> None:
    turns = sheet.grain.turns
    for k, part in enumerate(parts):
        if isinstance(part.layout, Packing):
            continue  # which turns it by what the grain allows
        turn = part.turn - sheet.grain.along
        if turns and not any(abs((turn - t + 180) % 360 - 180) < 1e-6 for t in turns):
            allowed = ", ".join(f"{(t + sheet.grain.along) % 360:g}" for t in turns)
            text = f"found {part.turn:g} deg, {turn % 360:g} deg against the grain, allowed: {allowed} deg"
            reader.fault(None, f"parts[{k}].turn", text)


def _parts(reader: JobReader, parts: Any) -> None:
    if not parts:
        reader.fault(None, "parts", "found no parts, allowed: at least one")
        return
    names = [part.name for part in parts]
    for k, name in enumerate(names):
        if name in names[:k]:
            first = names.index(name)
            reader.fault(
                None, f"parts[{k}].name", f"found {name!r}, which parts[{first}] is called, allowed: each name once"
            )
    for node, path, name in reader.parts_named:
        if name not in names:
            reader.fault(node, path, f"found {name!r}, allowed: {', '.join(names)}{nearest(name, names)}")


def warnings(sheet: Sheet) -> tuple[str, ...]:
    """What nobody should overlook."""
    out = []
    if sheet.hold == "screws" and sheet.thickness.least < 1:
        out.append(f"a sheet of {sheet.thickness.least:g} mm needs glue or tape as well as screws (common practice)")
    return tuple(out)
