"""The built-in strategies, offered through the entry point that a stranger uses too."""

from __future__ import annotations

from kerfwright.hookspecs import hookimpl
from kerfwright.strategy import Strategy
from kerfwright_plugins.bridges.at import At
from kerfwright_plugins.bridges.count import Count
from kerfwright_plugins.bridges.spacing import Spacing
from kerfwright_plugins.corners.none import NoCorners
from kerfwright_plugins.corners.relief import Relief
from kerfwright_plugins.cover.bidirectional import Bidirectional
from kerfwright_plugins.cover.contour_parallel import ContourParallel
from kerfwright_plugins.cover.contour_spiral import ContourSpiral
from kerfwright_plugins.cycle.chip_break import ChipBreak
from kerfwright_plugins.cycle.helical import Helical
from kerfwright_plugins.cycle.peck import Peck
from kerfwright_plugins.cycle.straight import Straight
from kerfwright_plugins.entry.helix import Helix
from kerfwright_plugins.entry.ramp import Ramp
from kerfwright_plugins.entry.toolaxis import Toolaxis
from kerfwright_plugins.entry.zigzag import Zigzag
from kerfwright_plugins.layout.grid import Grid
from kerfwright_plugins.layout.nest import CellNest
from kerfwright_plugins.layout.placed import Placed
from kerfwright_plugins.layout.search import SearchedNest
from kerfwright_plugins.lead.angle import Angle
from kerfwright_plugins.lead.none import NoLead
from kerfwright_plugins.lead.tangent import Tangent
from kerfwright_plugins.passes.equal import Equal
from kerfwright_plugins.passes.listed import ListedPasses
from kerfwright_plugins.passes.single import Single
from kerfwright_plugins.route.listed import Listed
from kerfwright_plugins.route.search import Search
from kerfwright_plugins.route.shortest import Shortest
from kerfwright_plugins.slotting.full import Full
from kerfwright_plugins.slotting.trochoid import Trochoid

__all__ = ["kerfwright_strategies"]


@hookimpl
def kerfwright_strategies() -> list[type[Strategy]]:
    """One class a strategy, by its kind and name."""
    return [
        Toolaxis, Ramp, Helix, Zigzag,
        Single, Equal, ListedPasses,
        ContourParallel, Bidirectional, ContourSpiral,
        Spacing, Count, At,
        NoLead, Tangent, Angle,
        NoCorners, Relief,
        Straight, Peck, ChipBreak, Helical,
        Full, Trochoid,
        Listed, Shortest, Search,
        Placed, Grid, CellNest, SearchedNest,
    ]  # fmt: skip
