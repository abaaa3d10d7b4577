"""The router: travel, spindle, feeds, and how it takes a program."""

from __future__ import annotations

from typing import TYPE_CHECKING

from attrs import frozen

from kerfwright import fields

if TYPE_CHECKING:
    from kerfwright.dialect import Dialect

__all__ = ["CUTTER_CHANGES", "Axes", "DustShoe", "Machine", "Spindle"]

CUTTER_CHANGES = ("automatic", "pause", "separate_programs")


@frozen
class Axes:
    """A limit for X and Y together, and one for Z."""

    xy: float = fields.number("limit in X and Y", unit="mm/min", above=0)
    z: float = fields.number("limit in Z", unit="mm/min", above=0)


@frozen
class Acceleration:
    """Acceleration of X and Y, and of Z (mm/s2)."""

    xy: float = fields.number("acceleration in X and Y", unit="mm/s2", above=0)
    z: float = fields.number("acceleration in Z", unit="mm/s2", above=0)


@frozen
class Spindle:
    """Speed range (rpm), times (s), power (W); `by_hand`: the operator sets the speed, the program stops for it."""

    least: float = fields.number("slowest speed", unit="rpm", above=0)
    most: float = fields.number("fastest speed", unit="rpm", above=0)
    by_hand: bool = fields.flag("speed is set by hand", default=False)
    wake_s: float = fields.number("time to reach speed", unit="s", least=0, default=3.0)
    run_down_s: float = fields.number("time to stand still", unit="s", least=0, default=5.0)
    power: float | None = fields.number("power at the cutter", unit="W", above=0, optional=True)

    def __attrs_post_init__(self) -> None:
        if self.least > self.most:
            raise ValueError(f"found least {self.least:g} above most {self.most:g} rpm, allowed: in rising order")


@frozen
class DustShoe:
    """The suction shoe around the spindle: outside diameter, and its lower edge above the cutter's tip (mm)."""

    diameter: float = fields.number("outside diameter", unit="mm", above=0)
    above: float = fields.number("lower edge above the cutter's tip", unit="mm", least=0, default=0.0)


@frozen
class Machine:
    """One router. Lengths in mm, feeds in mm/min.

    Of the time model: `path_deviation` is how far the controller lets the cutter leave a programmed corner to take it
    without standing still; 0.02 mm is our choice, well inside the default tolerance of 0.1 mm. `change_s` is one cutter change
    with Z touched off anew; 60 s is our choice for a practised hand. Neither changes a program: only its time is said by them.
    """

    name: str = fields.text("what it is called", default="")
    travel: tuple[float, float, float] | None = fields.point(
        "travel in X, Y and Z", length=3, above=0, optional=True, otherwise="not known"
    )
    home: bool = fields.flag("has reference switches", default=False)
    rapids: str = fields.choice(
        "axes of a rapid arrive together, or each on its own", ("coordinated", "independent"), default="independent"
    )
    spindle: Spindle = fields.nested("spindle", Spindle)
    feed: Axes = fields.nested("fastest feed", Axes)
    rapid: Axes = fields.nested("rapid", Axes)
    acceleration: Acceleration | None = fields.nested("acceleration", Acceleration, optional=True)
    path_deviation: float = fields.number(
        "how far it may leave a corner of the path, for the time only", unit="mm", above=0, most=1, default=0.02
    )
    stiffness: float | None = fields.number("side stiffness at the cutter", unit="N/mm", above=0, optional=True)
    cutter_change: str = fields.choice("how cutters are changed", CUTTER_CHANGES, default="separate_programs")
    change_s: float = fields.number("time of one cutter change, for the time only", unit="s", least=0, default=60.0)
    dust_shoe: DustShoe | None = fields.nested("suction shoe", DustShoe, optional=True)
    dialect: str | Dialect = fields.custom("dialect its controller understands", "dialect", default="nist6556")
    heard: tuple[tuple[str, str], ...] = fields.custom("answers of the hearing test", "heard", default=())
