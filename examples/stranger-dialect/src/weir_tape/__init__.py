"""Offers the workshop's dialect."""

from __future__ import annotations

from kerfwright.dialect import Dialect
from kerfwright.hookspecs import hookimpl
from weir_tape.tape import WeirTape

__all__ = ["WeirTape", "kerfwright_dialects"]


@hookimpl
def kerfwright_dialects() -> list[type[Dialect]]:
    """One dialect."""
    return [WeirTape]
