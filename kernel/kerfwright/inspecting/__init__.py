"""Sizes of a part that can be measured, read off its drawing by geometry, with the limits that they must keep."""

from __future__ import annotations

from kerfwright.inspecting.size import Size
from kerfwright.inspecting.sizes import to_measure

__all__ = ["Size", "to_measure"]
