"""What a reader of drawing files fills in."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.drawing import Drawing

__all__ = ["DrawingReader"]


@define(frozen=True)
class DrawingReader:
    """Reads one kind of drawing file: `suffixes` with the dot, lower case.

    `open_layers`: layers on which lines may stay open, because an operation follows them. On all others, and by a reader that
    does not know of it, an open line is a fault.
    """

    name: ClassVar[str] = ""
    suffixes: ClassVar[tuple[str, ...]] = ()

    open_layers: tuple[str, ...] = ()

    def read(self, data: bytes, name: str) -> Drawing:
        """The drawing in mm, Y up. Raises InputError with every fault found and its place; `name` is the file's, for messages."""
        raise NotImplementedError
