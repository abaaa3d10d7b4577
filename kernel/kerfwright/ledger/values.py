"""What a ledger holds. Lengths in mm, cut lengths in m."""

from __future__ import annotations

import shapely
from attrs import frozen

from kerfwright import fields
from kerfwright.cutter import Cutter
from kerfwright.machine import Machine

__all__ = ["Board", "Booking", "Groove", "Ledger", "Worn", "kind_of", "name_of"]


def kind_of(cutter: Cutter) -> str:
    """What a cutter is, in words: jobs call many cutters `mill`, and each kind has metres of its own.

    >>> kind_of(Cutter(form="end_mill", flutes="burr", diameter=2, flute_length=8))
    'burr end_mill of 2 mm'
    """
    return f"{'' if cutter.form == 'drill' else cutter.flutes + ' '}{cutter.form} of {cutter.diameter:g} mm"


def name_of(machine: Machine) -> str:
    """What a ledger calls a machine: those that a job describes without a name are taken for one."""
    return machine.name or "the machine"


@frozen
class Flute:
    """A stretch of a cutter's flute, by heights above its tip, and the metres of sheet that it has cut."""

    low: float = fields.number("begins above the tip", unit="mm", least=0, key="from")
    high: float = fields.number("ends above the tip", unit="mm", above=0, key="to")
    cut: float = fields.number("metres of sheet it has cut", unit="m", least=0, most=999_999)

    def __attrs_post_init__(self) -> None:
        if self.high <= self.low:
            raise ValueError(f"to: found {self.high:g} mm, allowed: above from, {self.low:g} mm")


@frozen
class Worn:
    """One cutter: what it is, the metres it has cut in all, and where along its flute."""

    name: str = fields.text("what jobs call it")
    kind: str = fields.text("what it is")
    cut: float = fields.number("metres it has cut", unit="m", least=0, most=999_999)
    flute: tuple[Flute, ...] = fields.listed("stretches of its flute, from the tip up", Flute)

    def __attrs_post_init__(self) -> None:
        for one, above in zip(self.flute, self.flute[1:]):
            if above.low < one.high - 1e-9:
                raise ValueError("flute: found stretches that overlap, allowed: each above the one before it")


@frozen(eq=False)
class Groove:
    """What was cut into a board to a depth, in the sheet's coordinates: from its front left corner."""

    depth: float = fields.number("depth in the board", unit="mm", above=0)
    area: shapely.Geometry = fields.custom("WKT of polygons", "wkt")


@frozen
class Board:
    """The sacrificial board on one machine, and the grooves in it."""

    machine: str = fields.text("the machine it lies on")
    grooves: tuple[Groove, ...] = fields.listed("grooves, one entry a depth", Groove)


@frozen
class Booking:
    """A job that was booked: how often, and which programs they were (the first 16 digits of the SHA-256 of theirs)."""

    job: str = fields.text("name of the job")
    programs: str = fields.text("digest of its programs")
    times: int = fields.whole("how often it was booked", least=1)


@frozen
class Ledger:
    """All of a shop's file."""

    cutters: tuple[Worn, ...] = fields.listed("cutters by name and kind", Worn)
    boards: tuple[Board, ...] = fields.listed("boards by machine", Board)
    booked: tuple[Booking, ...] = fields.listed("jobs that were booked", Booking)

    def cutter(self, cutter: Cutter) -> Worn | None:
        """A cutter's entry, by name and kind; None for one that never cut."""
        return next((c for c in self.cutters if (c.name, c.kind) == (cutter.name, kind_of(cutter))), None)

    def board(self, machine: Machine) -> Board | None:
        """The board on a machine; None where nothing is known of it."""
        return next((b for b in self.boards if b.machine == name_of(machine)), None)
