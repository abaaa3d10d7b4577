"""What the Lower Weir workshop adds to kerfwright: one strategy, found through the entry point group `kerfwright`."""

from __future__ import annotations

from kerfwright.hookspecs import hookimpl
from kerfwright.strategy import Strategy
from weir_thinning.thinning import Thinning

__all__ = ["Thinning", "kerfwright_strategies"]


@hookimpl
def kerfwright_strategies() -> list[type[Strategy]]:
    """One class a strategy."""
    return [Thinning]
