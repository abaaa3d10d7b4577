"""What a reader of drawing files fills in."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.drawing import Drawing

__all__ = ["DrawingReader"]


@define(frozen=True)
class DrawingReader:
    """Reads one kind of drawing file: `suffixes` with the dot, lower case."""

    name: ClassVar[str] = ""
    suffixes: ClassVar[tuple[str, ...]] = ()

    def read(self, data: bytes, name: str) -> Drawing:
        """The drawing in mm, Y up. Raises InputError with every fault found and its place; `name` is the file's, for messages."""
        raise NotImplementedError
