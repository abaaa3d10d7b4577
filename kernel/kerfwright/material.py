"""A material: what it does to cutters, laminate and lungs, and the table rows its rates come from."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import Factory, field, frozen

from kerfwright import fields
from kerfwright.cutter import FORMS, Cutter

__all__ = ["Material", "RateRow"]


@frozen
class RateRow:
    """Rates of one material for cutters of some flutes and a range of diameters.

    Pairs are values at the two ends of the pace: `first` and `proven`. `sources` names where each comes from.
    """

    form: str = fields.choice("form of the cutter", FORMS)
    flutes: tuple[str, ...] = fields.custom("directions of the flutes it holds for", "flutes", default=())
    diameter: tuple[float, float] = fields.custom("least and most diameter DC", "range:mm")
    cutting_speed: tuple[float, float] = fields.custom("speed of the edge", "pair:mm/min")
    """The spindle is run as near to it as its range allows."""
    feed: tuple[float, float] | None = fields.custom("feed along the cut", "pair:mm/min", optional=True)
    """None for a drill, which only goes down."""
    plunge_feed: tuple[float, float] = fields.custom("feed straight down", "pair:mm/min")
    feed_per_tooth: tuple[float, float] | None = fields.custom("most feed for each tooth", "pair:mm", optional=True)
    """Holds the feed back where the spindle turns slowly, a drill's too; None where teeth cannot be counted (burr)."""
    least_chip: float | None = fields.number("thinner chips rub", unit="mm", above=0, most=1, optional=True)
    """Of a tooth; of a turn where teeth cannot be counted (burr)."""
    axial_depth: tuple[float, float] | None = fields.custom("depth of one pass", "pair:mm", optional=True)
    one_pass: float = fields.number("up to this depth is cut in one pass", unit="mm", least=0, default=0.0)
    radial_depth: tuple[float, float] | None = fields.custom(
        "advance between cuts, a fraction of DC", "pair:1", optional=True
    )
    sources: Mapping[str, str] = field(default=Factory(dict), kw_only=True)

    def __attrs_post_init__(self) -> None:
        if self.form != "drill" and None in (self.feed, self.axial_depth, self.radial_depth):
            raise ValueError(
                "found a row of an end_mill that leaves out a rate, allowed: feed, axial_depth, radial_depth"
            )

    def fits(self, cutter: Cutter) -> bool:
        """It holds for this cutter."""
        least, most = self.diameter
        return (
            cutter.form == self.form
            and (not self.flutes or cutter.flutes in self.flutes)
            and least - 1e-9 <= cutter.diameter <= most + 1e-9
        )


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
    cutting_force: float | None = fields.number(
        "specific cutting force: force for each mm2 of chip section", unit="N/mm2", above=0, most=5000, optional=True
    )
    rows: tuple[RateRow, ...] = fields.listed("rates, each row for some cutters", RateRow, key="rates")
    sources: Mapping[str, str] = field(default=Factory(dict), kw_only=True)
    """Where each value above comes from."""

    def row(self, cutter: Cutter) -> RateRow | None:
        """The first row that holds for a cutter."""
        return next((row for row in self.rows if row.fits(cutter)), None)
