"""The kernel's own operations, offered through the entry point that a stranger uses too."""

from __future__ import annotations

from kerfwright.hookspecs import hookimpl
from kerfwright.operation import Drill, Operation, Pocket, Profile

__all__ = ["kerfwright_operations"]


@hookimpl
def kerfwright_operations() -> list[type[Operation]]:
    """Profile, pocket and drill."""
    return [Profile, Pocket, Drill]
