"""What an operation leaves on purpose stands until the operation is done: no more, and no less."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import shapely
from attrs import define

from kerfwright.evidence import Evidence
from kerfwright.finding import Check, Finding
from kerfwright_plugins.checks.layers import allowed
from kerfwright_plugins.checks.taken import done, first_taken, walls_of
from kerfwright_plugins.checks.target import CLOSE, Must, target

__all__ = ["AllowanceCheck"]

SLIVER = 0.02
"""What is left of an area in pieces narrower than twice this (mm) are cusps between two laps."""


@define(frozen=True, kw_only=True)
class AllowanceCheck(Check):
    """The text does not say which operation a cut belongs to. So it is asked of the order: until all that the operation must
    take is taken, nothing has come nearer to the wall, or gone deeper, than it may. An operation that leaves too much is
    found by this too: the next one, which comes nearer, then takes what was its to take.
    """

    name = "allowance"
    remedy = "let the operation with the allowance finish before the next one comes nearer; make the program anew"

    def find(self, evidence: Evidence) -> Iterable[Finding]:
        """One finding for each outline or pocket, and for side and bottom."""
        wanted = evidence.shared(target)
        for must in wanted.musts:
            left = must.work.operation.allowance
            if not (left.side or left.bottom) or not len(must.wall):
                continue
            begin, end = _window(evidence, must)
            if end < 0:
                continue
            layer, under = allowed(wanted, must)
            if left.side:
                yield from self._side(evidence, must, layer, begin, end)
            if left.bottom:
                yield from self._bottom(evidence, must, under, end)
            if must.area is not None and must.held is None:
                yield from self._rest(evidence, must, end)

    def _side(
        self, evidence: Evidence, must: Must, layer: shapely.Geometry, begin: float, end: float
    ) -> Iterator[Finding]:
        cut = evidence.at(_top(evidence, must)).near(layer)
        cut = cut.take((cut.first >= begin) & (cut.first <= end))
        deep = cut.radius - shapely.distance(cut.lines, layer)
        if len(cut) and deep.max() > CLOSE:
            k = int(np.argmax(deep))
            spot = shapely.get_point(shapely.shortest_line(cut.lines[k], layer), 1)
            side = must.work.operation.allowance.side
            text = (
                f"comes to {max(side - deep[k], 0.0):.3f} mm from the wall of {_piece(evidence, must)} while {must.work.path}, "
                f"which leaves {side:g} mm there, is not done"
            )
            at = (round(float(spot.x), 3), round(float(spot.y), 3), round(float(cut.low[k]), 3))
            yield Finding(self.name, "error", text, at, *evidence.course.where(int(cut.first[k])))

    def _bottom(self, evidence: Evidence, must: Must, under: shapely.Geometry, end: float) -> Iterator[Finding]:
        cut = evidence.at(must.floor - CLOSE - 0.001).near(under, -CLOSE)
        cut = cut.take(cut.first <= end)
        if len(cut):
            k = int(np.argmin(cut.first))
            spot = shapely.get_point(shapely.shortest_line(cut.lines[k], under), 1)
            text = (
                f"goes {must.floor - cut.low[k]:.3f} mm deeper than {must.work.path} may at {_piece(evidence, must)}, "
                f"which leaves {must.work.operation.allowance.bottom:g} mm there and is not done"
            )
            at = (round(float(spot.x), 3), round(float(spot.y), 3), round(float(cut.low[k]), 3))
            yield Finding(self.name, "error", text, at, *evidence.course.where(int(cut.first[k])))

    def _rest(self, evidence: Evidence, must: Must, end: float) -> Iterator[Finding]:
        gone = evidence.gone(must.floor + CLOSE, must.area, int(end) + 1)
        left = shapely.buffer(shapely.difference(must.area, gone), -SLIVER)
        everything = evidence.at(must.floor + CLOSE).near(must.area).swept()
        left = shapely.intersection(left, everything)  # what is never taken is told as a leftover
        if not shapely.is_empty(left):
            spot = shapely.point_on_surface(left)
            at = (round(float(spot.x), 3), round(float(spot.y), 3), round(must.floor, 3))
            text = f"{must.work.path} leaves more of {_piece(evidence, must)} than its allowance for a later operation"
            yield Finding(self.name, "error", text, at, *evidence.course.where(int(end)))


def _top(evidence: Evidence, must: Must) -> float:
    """Just under where the operation's material begins."""
    top = evidence.setup.heights.highest if must.work.operation.start == 0 else must.start
    return top - CLOSE - 0.001


def _window(evidence: Evidence, must: Must) -> tuple[float, float]:
    """Moves from which and to which the operation is at work on an outline."""
    began = first_taken(evidence.at(_top(evidence, must)), walls_of(evidence, must))
    return float(began.min(initial=np.inf)), done(evidence, must)


def _piece(evidence: Evidence, must: Must) -> str:
    piece = evidence.setup.pieces[must.piece]
    return f"{piece.part}, copy {piece.copy}"
