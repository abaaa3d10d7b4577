"""DXF drawings, text or binary."""

from __future__ import annotations

from typing import ClassVar

from attrs import define

from kerfwright.drawing import Drawing
from kerfwright.drawings import DrawingReader

__all__ = ["Dxf"]


@define(frozen=True)
class Dxf(DrawingReader):
    """DXF files. Layers are the drawing's; a file without a unit counts as mm, and says so."""

    name: ClassVar[str] = "dxf"
    suffixes: ClassVar[tuple[str, ...]] = (".dxf",)

    def read(self, data: bytes, name: str) -> Drawing:
        """The drawing in mm."""
        from kerfwright_plugins.drawings.dxf_file import read_dxf  # a heavy library, for jobs that have such a drawing

        return read_dxf(data, name, self.open_layers)
