"""Readers of drawing files."""

from __future__ import annotations

from kerfwright.drawings import DrawingReader
from kerfwright.hookspecs import hookimpl
from kerfwright_plugins.drawings.dxf import Dxf
from kerfwright_plugins.drawings.svg import Svg

__all__ = ["kerfwright_drawings"]


@hookimpl
def kerfwright_drawings() -> list[type[DrawingReader]]:
    """DXF and SVG."""
    return [Dxf, Svg]
