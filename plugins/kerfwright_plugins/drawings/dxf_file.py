"""A DXF file through `ezdxf`: read strictly; what its audit would mend is told, never mended silently."""

from __future__ import annotations

import io
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np
from ezdxf.audit import AuditError
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import dxf_stream_info, read
from ezdxf.lldxf.tagger import binary_tags_loader

from kerfwright.drawing import Drawing, Remark
from kerfwright.errors import Fault, InputError
from kerfwright.outlines.chains import counted
from kerfwright.outlines.outline import outlined
from kerfwright_plugins.drawings.dxf_notes import noted
from kerfwright_plugins.drawings.dxf_walk import Walk

__all__ = ["read_dxf"]

BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""First bytes of a binary file (DXF reference, Binary DXF files)."""

UNITS: Mapping[int, float] = MappingProxyType(
    {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 25.4e-6, 9: 0.0254, 10: 914.4, 13: 0.001, 14: 100.0}
)
"""$INSUNITS -> mm (DXF reference: inch, foot, mm, cm, m, microinch, mil, yard, micron, dm)."""

_HARMLESS = {
    AuditError.MISSING_REQUIRED_ROOT_DICT_ENTRY, AuditError.DUPLICATE_TABLE_ENTRY_NAME, AuditError.POINTER_TARGET_NOT_EXIST,
    AuditError.TABLE_NOT_FOUND, AuditError.REMOVED_UNSUPPORTED_SECTION, AuditError.REMOVED_UNSUPPORTED_TABLE,
    AuditError.REMOVED_INVALID_DXF_OBJECT, AuditError.REMOVED_STANDALONE_ATTRIB_ENTITY, AuditError.MISPLACED_ROOT_DICT,
    AuditError.ROOT_DICT_NOT_FOUND, AuditError.ACTIVE_PAPERSPACE_LAYOUT_NOT_FOUND, AuditError.UNDEFINED_LINETYPE,
    AuditError.UNDEFINED_DIMENSION_STYLE, AuditError.UNDEFINED_TEXT_STYLE, AuditError.REMOVE_EMPTY_GROUP,
    AuditError.GROUP_ENTITIES_IN_DIFFERENT_LAYOUTS, AuditError.INVALID_TABLE_HANDLE, AuditError.CREATED_MISSING_OBJECT,
    AuditError.RESET_MLINE_STYLE, AuditError.INVALID_GROUP_ENTITIES, AuditError.MISSING_PERSISTENT_REACTOR,
    AuditError.INVALID_ENTITY_HANDLE, AuditError.INVALID_OWNER_HANDLE, AuditError.INVALID_COLOR_INDEX,
    AuditError.INVALID_LINEWEIGHT, AuditError.INVALID_MLINESTYLE_HANDLE, AuditError.INVALID_DIMSTYLE,
    AuditError.INVALID_DICTIONARY_ENTRY, AuditError.INVALID_MLINE_VERTEX, AuditError.INVALID_MLINESTYLE_ELEMENT_COUNT,
    AuditError.INVALID_DIMENSION_GEOMETRY_LOCATION, AuditError.INVALID_TRANSPARENCY, AuditError.INVALID_HATCH_BOUNDARY_PATH,
    AuditError.INVALID_CREASE_VALUE_COUNT, AuditError.INVALID_MESH_DATA,
}  # fmt: skip
"""Flaws that cannot change an outline; every other one is a fault."""


def read_dxf(data: bytes, name: str, open_layers: tuple[str, ...] = ()) -> Drawing:
    """The drawing in mm, lines left open only on `open_layers`. Raises InputError with every fault found."""
    with noted("ezdxf") as notes:
        doc = _document(data, name)
        remarks = _audited(doc, name)
    if notes:
        remarks.append(
            Remark(f"the file is not quite in order: {notes[0]} ({counted(len(notes), 'note')} of this kind)")
        )
    code = doc.header.get("$INSUNITS", 0)
    if code == 0:
        english = doc.header.get("$MEASUREMENT", 1) == 0
        remarks.append(
            Remark(
                "the drawing names no unit ($INSUNITS): counted as mm" + ", although $MEASUREMENT says inch" * english
            )
        )
    elif code not in UNITS:
        raise InputError([Fault(name, f"$INSUNITS: found {code}, allowed: 0, {', '.join(map(str, UNITS))}")])
    walk = Walk(doc, name)
    with np.errstate(over="ignore", invalid="ignore"):  # what becomes infinite is told as a fault, with its entity
        walk.everything(UNITS.get(code, 1.0))
    if walk.faults:
        raise InputError(walk.faults)
    return outlined(walk.chains, [*remarks, *walk.remarks()], name, open_layers)


def _document(data: bytes, name: str) -> Any:
    """The file as ezdxf's document, or one clear fault."""
    if data[:4] == b"AC10" and data[4:6].isdigit():
        raise InputError([Fault(name, "found a DWG file, allowed: DXF; save it as DXF")])
    if b"EOF" not in data[-64:]:
        raise InputError([Fault(name, "the file does not end with EOF: it is no DXF file, or part of it is missing")])
    try:
        if data.startswith(BINARY):
            return Document.load(binary_tags_loader(data, errors="strict"))
        encoding = dxf_stream_info(io.StringIO(data.decode("latin-1"))).encoding
        return read(io.StringIO(data.decode(encoding, errors="surrogateescape").replace("\r\n", "\n")))
    except Exception as e:  # a damaged file makes the library fail in any way at all; the user is told one thing
        said = str(e).splitlines()[0][:120] if str(e) else type(e).__name__
        raise InputError([Fault(name, f"the file cannot be read as DXF: {said}")]) from e


def _audited(doc: Any, name: str) -> list[Remark]:
    """Flaws found by ezdxf's audit: faults where they may bear on an outline, else one Remark."""
    try:
        auditor = doc.audit()
    except Exception as e:  # as above
        raise InputError([Fault(name, f"the file cannot be read as DXF: {type(e).__name__} in its audit")]) from e
    flaws = [*auditor.errors, *auditor.fixes]
    grave = [f for f in flaws if f.code not in _HARMLESS]
    if grave:
        raise InputError([Fault(name, f"the file is damaged: {f.message}") for f in grave[:20]])
    return (
        [Remark(f"{counted(len(flaws), 'flaw')} in the file that bear on no outline, such as: {flaws[0].message}")]
        if flaws
        else []
    )
