"""What comes free must be held: by a screw that stands in it, or by tape or vacuum under it."""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding, Measured
from kerfwright_plugins.checks.bridge import bridges_of
from kerfwright_plugins.checks.free import Free, free
from kerfwright_plugins.checks.hold import LINKED, backed, screws, suction
from kerfwright_plugins.checks.nearby import line_near

__all__ = ["Loose"]

SMALL = 400.0
"""Under tape or vacuum, what is smaller than this (mm2) is told: about the size of a large coin lets go (from memory)."""


@define(frozen=True, kw_only=True)
class Loose(Check):
    """Under screws and frame a piece or slug that comes free is an error, unless nothing of it is left but dust. Under tape
    and vacuum a note tells how many come free and how small the smallest is.
    """

    name = "loose"
    remedy = "ask for bridges, hold more of it by tape or vacuum, clear it to dust, or name the screw that holds it as a keepout"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each loose chunk; under tape and vacuum one for all."""
        hold = evidence.setup.job.sheet.hold
        loose = [one for one in evidence.shared(free) if not one.fixed]
        yield from self._sheet(evidence)
        if hold in LINKED:
            for one in loose:
                at = _spot(one)
                text = (
                    f"{_what(evidence, one)} of {one.plan.area:.1f} mm2 comes free, and hold {hold!r} does not hold it"
                )
                yield Finding(self.name, "error", text, at, *line_near(evidence, at))
            return
        small = [one for one in loose if one.plan.area < SMALL]
        if small:
            least = min(small, key=lambda one: float(one.plan.area))
            force = f" (about {suction(least.plan.area):.1f} N at 60 kPa)" if hold == "vacuum" else ""
            text = (
                f"{len(small)} of {len(loose)} chunks that come free are smaller than {SMALL:g} mm2, the smallest "
                f"{least.plan.area:.1f} mm2{force}: see that {hold} holds them"
            )
            yield Finding(self.name, "warning" if hold == "vacuum" else "note", text, _spot(least))

    def _sheet(self, evidence: Evidence) -> Iterable[Finding]:
        """The sheet around what is cut free, where every screw that the job names goes with the pieces."""
        setup = evidence.setup
        named = screws(evidence)
        if setup.job.sheet.hold != "screws" or not named:
            return
        around = [one.plan for one in evidence.shared(free) if one.around is not None]
        if around and all(bool(shapely.contains(around, one).any()) for one in named):
            text = "every keepout stands in what is cut free, so that nothing named holds the sheet around it"
            yield Finding(self.name, "error", text, _place(named[0]))

    def measure(self, evidence: Evidence) -> Iterable[Measured]:
        """What holds each piece: bridges with sheet behind them, a keepout that stands in it, tape, vacuum, or the sheet it
        is still part of.
        """
        setup = evidence.setup
        hold = setup.job.sheet.hold
        chunk = {p: one for one in evidence.shared(free) for p in one.pieces}
        bridges: dict[int, int] = {}
        for (piece, loop), standing in bridges_of(evidence).items():
            if setup.pieces[piece].loops[loop].depth % 2:
                continue  # those hold a slug
            bridges[piece] = bridges.get(piece, 0) + len(backed(evidence, standing))
        for p in range(len(setup.pieces)):
            if p in chunk:
                held = "keepout" if chunk[p].fixed else "nothing" if hold in LINKED else hold
            else:
                n = bridges.get(p, 0)
                held = "the sheet" if not n else "1 bridge" if n == 1 else f"{n} bridges"
            yield Measured(p, held_by=held)


def _spot(one: Free) -> tuple[float, float]:
    return _place(one.plan)


def _place(area: shapely.Geometry) -> tuple[float, float]:
    p = shapely.point_on_surface(area)
    return round(float(p.x), 3), round(float(p.y), 3)


def _what(evidence: Evidence, one: Free) -> str:
    names = [f"{evidence.setup.pieces[p].part}, copy {evidence.setup.pieces[p].copy}," for p in one.pieces]
    return " and ".join(names) if names else "a slug"
