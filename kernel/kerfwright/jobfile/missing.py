"""Words of the contract whose feature is not installed: they are told to be missing, other words are unknown."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["CONTRACT", "missing"]

CONTRACT: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "entry": ("toolaxis", "ramp", "helix", "zigzag"),
        "passes": ("single", "equal", "listed"),
        "cover": ("contour_parallel",),
        "lead": ("none", "tangent", "angle"),
        "corners": ("none", "relief"),
        "cycle": ("straight", "peck", "chip_break", "helical"),
        "route": ("listed", "shortest"),
        "slotting": ("full", "trochoid"),
        "layout": ("placed", "grid", "nest"),
        "bridges": ("spacing",),
        "operation": ("profile", "pocket", "drill"),
        "dialect": ("nist6556", "nist6556-core", "nist6556-lines", "iso6983", "eia274", "iso4343"),
    }
)
"""What stands in the job file's contract, by kind."""


def missing(kind: str, name: str) -> str:
    """`: the plugin …` for a word of the contract, else nothing. Asked only where the word is not installed."""
    return ": the plugin that has it is not installed" if name in CONTRACT.get(kind, ()) else ""
