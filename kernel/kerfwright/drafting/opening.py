"""The drawing of a draft: read as a job reads it, with the words that its layers' names say."""

from __future__ import annotations

import re
from pathlib import Path

from kerfwright.drawing import Drawing
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile.files import MOST_DRAWING
from kerfwright.registry import Registry

__all__ = ["is_mark", "is_recess", "opened_drawing"]

RECESS = re.compile(r"(?i)recess|pocket|seat|rebate|counter ?-?_?bore|blind|step(?![a-z])|sink")
"""Layers whose outlines seldom go through: words of the trade."""
MARK = re.compile(r"(?i)mark|engrav|etch|scrib|score|bend|fold|crease")
"""Layers whose lines are seldom cut through."""


class _MarkLayers(tuple[str, ...]):
    """Stands for every layer whose name says that its lines are marks: nobody knows the names before the file is read."""

    __slots__ = ()

    def __contains__(self, layer: object) -> bool:
        return isinstance(layer, str) and is_mark(layer)


def is_recess(layer: str) -> bool:
    """Whether a layer's name says that its outlines are no openings.

    >>> is_recess("Display-Recess"), is_recess("outline")
    (True, False)
    """
    return RECESS.search(layer) is not None


def is_mark(layer: str) -> bool:
    """Whether a layer's name says that its lines are marks.

    >>> is_mark("bend lines"), is_mark("holes")
    (True, False)
    """
    return MARK.search(layer) is not None and not is_recess(layer)


def opened_drawing(file: Path, registry: Registry) -> Drawing:
    """The drawing in mm. Lines stay open only on layers of marks. Raises InputError with the faults that a job would tell."""
    reader = registry.drawings.get(file.suffix.lower())
    if reader is None:
        known = ", ".join(sorted(registry.drawings)) or "no reader of drawings is installed"
        raise InputError(
            [Fault(str(file), f"found a file of kind {file.suffix.lower() or 'unknown'!r}, allowed: {known}")]
        )
    try:
        size = file.stat().st_size
        if size > MOST_DRAWING:
            raise InputError([Fault(str(file), f"found a file of {size} bytes, allowed: at most {MOST_DRAWING}")])
        data = file.read_bytes()
    except OSError as e:
        raise InputError([Fault(str(file), f"cannot be read: {e.strerror}")]) from e
    try:
        return reader().read(data, file.name)
    except InputError as strict:
        try:
            drawing = reader(open_layers=_MarkLayers()).read(data, file.name)
        except InputError:
            drawing = None
        if drawing is None or not drawing.lines:
            raise strict from None
        return drawing
