"""What a strategy of each kind is asked, through its own `__call__`: arguments made from the specimens.

In the climb frame: the wall on the right of travel. A question is a label and the arguments; an answer may be NoRoom.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from attrs import define

from kerfwright.curve import Curve
from kerfwright.offset import offset, recover
from kerfwright.room import Room
from kerfwright.testing.specimens import CUTTER, Specimen

__all__ = ["Question", "questions"]

RADIUS, ADVANCE = CUTTER / 2, 0.4 * CUTTER


@define(frozen=True, eq=False)
class Question:
    """Arguments of one call, made anew from the specimen each time: so a strategy that changes them harms nobody else."""

    label: str
    make: Callable[[], tuple[Any, ...]]


@define(frozen=True, eq=False, slots=False)
class _Ways:
    """Ways of the cutter's center along a specimen's outlines, each with its room."""

    specimen: Specimen

    @cached_property
    def areas(self) -> Any:
        return np.array([one.curve.polygon() for one in self.specimen.drawing.loops], object)

    @cached_property
    def loops(self) -> list[tuple[Curve, shapely.Geometry]]:
        """One way around the outer outline, one in each kind of opening (the first three)."""
        outer, out = shapely.Polygon(offset(self.areas[0], RADIUS).exterior), []
        box = shapely.box(*(np.array(outer.bounds) + [-20, -20, 20, 20]))
        out.append((recover([outer.exterior])[0].reversed(), shapely.difference(box, outer)))
        inner = [k for k, one in enumerate(self.specimen.drawing.loops) if one.depth == 1][:3]
        for part in shapely.get_parts(offset(self.areas[inner], -RADIUS)) if inner else []:
            if not part.is_empty and max(np.ptp(np.reshape(part.bounds, (2, 2)), axis=0)) > 0.1:
                out.append((recover([part.exterior])[0], part))
        return out

    @property
    def cuts(self) -> list[tuple[Curve, shapely.Geometry]]:
        """The loops; and of the first an open piece, long and short."""
        (first, room), length = self.loops[0], self.loops[0][0].length
        return [*self.loops, (first.between(0.0, 0.4 * length), room), (first.between(0.0, 1.0), room)]

    @cached_property
    def regions(self) -> Any:
        """Center regions of its recess, the largest three."""
        chosen = self.specimen.recess.choices[0].nesting
        picked = [i for i, one in enumerate(self.specimen.drawing.loops) if chosen == "all" or one.depth % 2]
        area = shapely.Polygon()
        for k in picked:
            area = shapely.symmetric_difference(area, self.areas[k])
        parts = shapely.get_parts(offset(area, -RADIUS))
        parts = parts[shapely.area(parts) > 0.05]
        return parts[np.argsort(-shapely.area(parts), kind="stable")[:3]]


def _entry(ways: _Ways) -> Iterator[Question]:
    for n, (cut, room) in enumerate(ways.cuts):
        for top, bottom in ((0.0, -1.0), (-1.0, -1.05), (0.1, -6.0)):
            yield Question(
                f"way {n}, from {top:g} to {bottom:g}",
                lambda c=cut, r=room, a=top, b=bottom: (_copy(c), a, b, Room(r)),  # type: ignore[misc]
            )


def _lead(ways: _Ways) -> Iterator[Question]:
    for n, (cut, room) in enumerate(ways.cuts):
        yield Question(f"way {n}", lambda c=cut, r=room: (_copy(c), Room(r)))  # type: ignore[misc]


def _slotting(ways: _Ways) -> Iterator[Question]:
    for n, (loop, room) in enumerate(ways.loops):
        yield Question(f"way {n}", lambda c=loop, r=room: (_copy(c), Room(r), RADIUS, ADVANCE))  # type: ignore[misc]


def _corners(ways: _Ways) -> Iterator[Question]:
    for n, (loop, _) in enumerate(ways.loops):
        yield Question(f"way {n}", lambda c=loop: (_copy(c), RADIUS))  # type: ignore[misc]


def _bridges(ways: _Ways) -> Iterator[Question]:
    for n, (loop, _) in enumerate(ways.loops):
        yield Question(f"way {n}", lambda c=loop: (_copy(c), CUTTER))  # type: ignore[misc]


def _cover(ways: _Ways) -> Iterator[Question]:
    for n, region in enumerate(ways.regions):
        for part in (0.2, 0.4, 0.9) if shapely.area(region) < 100 else (0.4,):
            yield Question(
                f"region {n}, radial depth {part:g}",
                lambda g=region, p=part: (shapely.from_wkb(shapely.to_wkb(g)), RADIUS, p * CUTTER),  # type: ignore[misc]
            )


def _layout(ways: _Ways) -> Iterator[Question]:
    for turn in (0.0, 30.0, 90.0):
        yield Question(f"turned by {turn:g}", lambda t=turn: (ways.areas[0], ((20.0, 20.0),), t))  # type: ignore[misc]


def _passes() -> Iterator[Question]:
    for top, bottom, deep in (
        (0.0, -1.8, 1.0),
        (0.1, -2.4, 0.7),
        (0.0, -0.05, 1.0),
        (-1.0, -13.0, 1.3),
        (2.4, 0.0, 2.4),
    ):
        yield Question(f"{top:g} to {bottom:g} by {deep:g}", lambda v=(top, bottom, deep): v)  # type: ignore[misc]


def _cycle() -> Iterator[Question]:
    for top, bottom in ((2.0, -1.8), (2.0, -0.05), (3.6, -12.3), (2.0, 1.99)):
        yield Question(f"{top:g} to {bottom:g}", lambda v=(top, bottom): v)  # type: ignore[misc]


def _route() -> Iterator[Question]:
    for count in (0, 1, 2, 7, 40, 150):
        rng = np.random.default_rng(count)
        starts, ends = rng.uniform(0, 100, (2, count, 2)).round(3)
        rank = rng.permutation(count)
        pairs = rng.integers(0, max(count, 1), (count // 2, 2))
        pairs = pairs[rank[pairs[:, 0]] < rank[pairs[:, 1]]] if len(pairs) else pairs  # an order that can be kept
        args = (starts, ends, pairs.astype(np.int64).reshape(-1, 2), np.array([5.0, 5.0]))
        yield Question(f"{count} blocks", lambda a=args: tuple(v.copy() for v in a))  # type: ignore[misc]
    equal = np.full((5, 2), 3.0)
    args = (equal, equal, np.zeros((0, 2), np.int64), np.zeros(2))
    yield Question("five blocks at one place", lambda a=args: tuple(v.copy() for v in a))  # type: ignore[misc]


_OF_SPECIMENS: Mapping[str, Callable[[_Ways], Iterator[Question]]] = {
    "entry": _entry, "lead": _lead, "slotting": _slotting, "corners": _corners, "bridges": _bridges, "cover": _cover,
    "layout": _layout,
}  # fmt: skip
_OF_NUMBERS: Mapping[str, Callable[[], Iterator[Question]]] = {"passes": _passes, "cycle": _cycle, "route": _route}


def _copy(curve: Curve) -> Curve:
    return Curve(curve.nodes.copy(), curve.turns.copy())


def questions(kind: str, specimens: Sequence[Specimen]) -> list[Question]:
    """All that a strategy of this kind is asked."""
    if kind in _OF_NUMBERS:
        return list(_OF_NUMBERS[kind]())
    ask = _OF_SPECIMENS[kind]
    return [Question(f"{s.name}, {q.label}", q.make) for s in specimens for q in ask(_Ways(s))]
