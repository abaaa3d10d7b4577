"""Operations: geometry plus parameters. How those of the core are planned stands in `planning`; one beyond it answers itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from attrs import Factory, frozen

from kerfwright import fields
from kerfwright.cutter import FORMS, Cutter
from kerfwright.selection import Choice, Selection

if TYPE_CHECKING:  # a check may read an operation; it must not reach planning through it
    from kerfwright.strategy import Bridges, Cover, Cycle, Entry, Passes, Strategy

if TYPE_CHECKING:
    from kerfwright.spot import Spot
    from kerfwright.way import Clear, Way

__all__ = ["INNER", "OUTER", "PACES", "RATES", "Allowance", "Answering", "Drill", "Operation", "Pocket", "Profile"]

PACES = ("first", "steady", "proven")

RATES = "from cutter, material and machine, at the pace"
"""What holds for a rate that a job leaves out."""

OUTER = Selection((Choice(nesting="outer"),), "outer")
INNER = Selection((Choice(nesting="inner"),), "inner")


@frozen
class Allowance:
    """Material left on purpose (mm): on the side of the wall, and above the floor."""

    side: float = fields.number("left at the wall", unit="mm", least=0, default=0.0)
    bottom: float = fields.number("left above the floor", unit="mm", least=0, default=0.0)


@frozen(kw_only=True)
class Operation:
    """What every operation has. `depth` None is through; rates left None come from cutter x material x machine at `pace`.

    A strategy left None is chosen by the material and the kind of operation.
    """

    kind: ClassVar[str] = ""
    forms: ClassVar[tuple[str, ...]] = FORMS
    """Of the cutters that may do it."""
    follows_lines: ClassVar[bool] = False
    """It follows open lines of a drawing too, on the layers that it selects by name."""
    over_keepouts: ClassVar[bool] = False
    """It goes around keepouts that stand on the piece; a part of which nothing else is made may lie under them."""

    cutter: Cutter = fields.custom("one of the job's cutters", "cutter", example="mill")
    select: Selection | None = fields.custom("which outlines", "select", example="outer")
    depth: float | None = fields.custom(
        "`through`, or mm below the sheet's top", "depth", default=None, optional=True, example=0.8, otherwise="through"
    )
    start: float = fields.number("depth where material begins", unit="mm", least=0, default=0.0, key="from")
    spindle: float | None = fields.number(
        "spindle speed", unit="rpm", above=0, optional=True, example=18000, otherwise=RATES
    )
    feed: float | None = fields.number(
        "feed along the cut", unit="mm/min", above=0, optional=True, example=600, otherwise=RATES
    )
    plunge_feed: float | None = fields.number(
        "feed straight down", unit="mm/min", above=0, optional=True, example=80, otherwise=RATES
    )
    axial_depth: float | None = fields.number(
        "depth of one pass", unit="mm", above=0, optional=True, example=1, otherwise=RATES
    )
    radial_depth: float | None = fields.number(
        "advance between cuts, a fraction of DC", above=0, most=0.9, optional=True, example=0.4, otherwise=RATES
    )
    pace: str | None = fields.choice("how bold the rates are", PACES, optional=True, otherwise="the job's")
    cutmode: str | None = fields.choice(
        "climb or conventional", ("climb", "conventional"), optional=True, otherwise="the material's"
    )
    allowance: Allowance = fields.nested("material left for a later operation", Allowance, default=Allowance())
    repeat: int = fields.whole("spring passes", least=0, most=5, default=0)
    skin: float | None = fields.number(
        "thickness left in every piece until the end", unit="mm", above=0, optional=True, example=0.4, otherwise="none"
    )
    route: Strategy | None = fields.strategy("route", "order of the cuts")

    @property
    def through(self) -> bool:
        """Goes through the sheet and leaves nothing on purpose: what it works on is finished."""
        return self.depth is None and self.finishes

    @property
    def pierces(self) -> bool:
        """Goes through the sheet, whatever it leaves at the side: what it goes around may come free."""
        return self.depth is None and not self.allowance.bottom

    @property
    def finishes(self) -> bool:
        """Leaves nothing on purpose."""
        return self.allowance == Allowance()

    def on(self, part: str) -> bool:
        """Whether it works on a part even where it selects none of its outlines (text does)."""
        return False

    def ways(self, spot: Spot) -> Sequence[Way | Clear]:
        """Asked of an `Answering` operation, piece by piece: where the cutter goes, as data. Raises NoRoom.

        The planner adds the way there, the way down, passes, order and feeds, and refuses what would meet keepouts, bridges
        or another piece. What it takes is told to the proof by a `Taking` of the same kind, and by that alone.
        """
        raise NotImplementedError


@frozen(kw_only=True)
class Profile(Operation):
    """Along outlines, on the side where waste is: outside of an outer outline, inside of an inner one, unless `waste` says another."""

    kind = "profile"
    forms = ("end_mill",)

    select: Selection = fields.custom("which outlines", "select", default=OUTER)
    waste: str | None = fields.choice(
        "the side on which material goes",
        ("outside", "inside", "line"),
        optional=True,
        otherwise="outside of an outer outline, inside of an inner one",
    )
    entry: Entry | None = fields.strategy("entry", "way down into the material")
    passes: Passes | None = fields.strategy("passes", "depths of the passes")
    bridges: Bridges | None = fields.strategy("bridges", "uncut links that hold the piece")
    lead: Strategy | None = fields.strategy("lead", "way to the wall and from it")
    corners: Strategy | None = fields.strategy("corners", "what is done in inside corners")
    slotting: Strategy | None = fields.strategy("slotting", "how the full kerf is cut")


@frozen(kw_only=True)
class Pocket(Operation):
    """Clears the even-odd area of its outlines; of what earlier pockets have cleared, as deep, only what they left."""

    kind = "pocket"
    forms = ("end_mill",)

    select: Selection = fields.custom("which outlines", "select", default=INNER)
    entry: Entry | None = fields.strategy("entry", "way down into the material")
    passes: Passes | None = fields.strategy("passes", "depths of the passes")
    cover: Cover | None = fields.strategy("cover", "ways that clear the area")
    bridges: Bridges | None = fields.strategy("bridges", "uncut links that hold what the pocket surrounds")
    lead: Strategy | None = fields.strategy("lead", "way to the wall and from it")
    corners: Strategy | None = fields.strategy("corners", "what is done in inside corners")


@frozen(kw_only=True)
class Drill(Operation):
    """Holes of the drill's own diameter."""

    kind = "drill"
    forms = ("drill",)

    select: Selection = fields.custom(
        "which circles",
        "select",
        example={"circles": 1.6},
        default=Factory(lambda: Selection((Choice(nesting="inner", circles=(0.0, 1e9)),), "circles")),
    )
    cycle: Cycle | None = fields.strategy("cycle", "strokes of the drill")


@frozen(kw_only=True)
class Answering(Operation):
    """Base of operations beyond the core, which answer for themselves where the cutter goes, and never go through.

    What only the core's planning heeds is no parameter of theirs: `from`, allowance, spring passes, skin, radial depth.
    """

    depth: float | None = fields.absent()
    start: float = fields.absent(0.0)
    radial_depth: float | None = fields.absent()
    allowance: Allowance = fields.absent(Allowance())
    repeat: int = fields.absent(0)
    skin: float | None = fields.absent()

    @property
    def through(self) -> bool:
        """Nothing comes free by it."""
        return False

    @property
    def pierces(self) -> bool:
        """Nothing comes free by it, nor is anything finished."""
        return False
