"""Materials, cutters and machines, each value with its source.

Rates are safe starts, not limits: the maker's data and the rules at the place of work stand above them.
"""

from __future__ import annotations

from pathlib import Path

from kerfwright.hookspecs import hookimpl

__all__ = ["kerfwright_tables"]


@hookimpl
def kerfwright_tables() -> list[Path]:
    """The files beside this one."""
    return sorted(Path(__file__).parent.glob("*.yaml"))
