"""A material: what it does to cutters, laminate and lungs, and the table rows its rates come from."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import Factory, field, frozen

from kerfwright import fields

__all__ = ["Material", "RateRow"]


@frozen
class RateRow:
    """Rates of one material for cutters of some flutes and a range of diameters, at the two ends of the pace.

    Values are pairs (at pace `first`, at pace `proven`); `sources` names where each comes from.
    """

    form: str
    flutes: tuple[str, ...]
    least: float
    most: float
    cutting_speed: tuple[float, float]
    """m/min; the spindle is run as near to it as its range allows."""
    feed: tuple[float, float]
    """mm/min."""
    plunge_feed: tuple[float, float]
    """mm/min."""
    axial_depth: tuple[float, float]
    """mm."""
    radial_depth: tuple[float, float]
    """Fraction of DC."""
    sources: Mapping[str, str]


@frozen
class Material:
    """A sheet material. `laminate` decides the entries; `conductive`, `burns`, `melts`, `dust` the cautions."""

    name: str = fields.text("what it is called", default="")
    title: str = fields.text("name on pages", default="")
    laminate: bool = fields.flag("layers that an entry straight down can tear", default=False)
    conductive: bool = fields.flag("dust conducts electricity", default=False)
    burns: bool = fields.flag("dust or chips can catch fire", default=False)
    melts: bool = fields.flag("chips weld when rubbed", default=False)
    dust: str = fields.text("what its dust does", default="")
    cutmode: str = fields.choice("default cutmode", ("climb", "conventional"), default="climb")
    rows: tuple[RateRow, ...] = field(default=(), kw_only=True)
    sources: Mapping[str, str] = field(default=Factory(dict), kw_only=True)
    """Where each value above comes from."""
