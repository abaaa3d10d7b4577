"""Words of the contract whose feature is not installed: they are answered with `not yet`, other words are unknown."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kerfwright.jobfile.words import NOT_YET

__all__ = ["LATER", "not_yet"]

LATER: Mapping[str, tuple[str, ...]] = MappingProxyType(
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


def not_yet(kind: str, name: str) -> str:
    """`: not yet …` for a word of the contract, else nothing. Asked only where the word is not installed."""
    return f": {NOT_YET}" if name in LATER.get(kind, ()) else ""
