"""What each outline of a drawing most likely is, told from nesting, shape and its layer's name; doubt is kept as doubt."""

from __future__ import annotations

from functools import cached_property

import attrs
import numpy as np
import shapely
from attrs import define, frozen
from numpy.typing import NDArray

from kerfwright.drafting.opening import is_mark, is_recess
from kerfwright.drawing import Drawing, RoundHole
from kerfwright.placing.choosing import Outline, chosen
from kerfwright.selection import Choice, Selection

__all__ = ["DUST", "Doubt", "Hole", "Sorted", "sort"]

DUST = 100.0
"""Openings up to this area (mm2, a little more than a hole of 11 mm) are cleared to dust: what is smaller flies, and has
little room for bridges (from memory)."""
ALIKE = 0.005
"""Diameters that differ by less than this (mm) are one row of the table."""


@frozen
class Hole:
    """Circles of one diameter (mm): `loops` are their indices in the drawing."""

    diameter: float
    loops: tuple[int, ...]

    def __str__(self) -> str:
        return f"{len(self.loops)} × Ø{round(self.diameter, 3):g}"


@frozen
class Doubt:
    """Outlines that a draft does not cut: nobody but the draughtsman knows what they are. `kind`: recess, nested, mark.

    `around` are those next to the material, `inner` what lies in them; `layer` is the layer that says so, '' for none.
    """

    kind: str
    around: tuple[int, ...]
    inner: tuple[int, ...] = ()
    layer: str = ""

    @property
    def loops(self) -> tuple[int, ...]:
        """All of them."""
        return (*self.around, *self.inner)


@define(frozen=True, eq=False, slots=False)
class Sorted:
    """Indices of the drawing's loops: outlines of pieces, openings in them that go through, and what is in doubt.

    Small circles are in `holes` and not among the openings; `holes` has all that go through.
    """

    drawing: Drawing
    outlines: tuple[int, ...]
    openings: tuple[int, ...]
    holes: tuple[Hole, ...]
    doubts: tuple[Doubt, ...]

    @cached_property
    def shapes(self) -> NDArray[np.object_]:
        """Polygons of all loops."""
        return np.array([one.curve.polygon() for one in self.drawing.loops], object)

    @cached_property
    def areas(self) -> NDArray[np.float64]:
        """Their areas (mm2), exact."""
        return np.array([one.curve.signed_area for one in self.drawing.loops])

    @property
    def doubtful(self) -> tuple[int, ...]:
        """All loops in doubt."""
        return tuple(sorted({k for d in self.doubts for k in d.loops}))

    @property
    def small(self) -> tuple[Hole, ...]:
        """Holes that are drilled or cleared to dust, not bridged."""
        return tuple(h for h in self.holes if not set(h.loops) & set(self.openings))

    @property
    def material(self) -> float:
        """Area (mm2) of the pieces, what is in doubt counted as standing."""
        gone = {*self.openings, *(k for h in self.holes for k in h.loops)}
        return float(self.areas[list(self.outlines)].sum() - self.areas[list(gone)].sum())

    def standing(self, without: tuple[int, ...] = ()) -> shapely.Geometry:
        """What the pieces are in plan (chords within 0.0005 mm), without openings and the loops given."""
        solid = shapely.union_all(self.shapes[list(self.outlines)])
        return shapely.difference(solid, shapely.union_all(self.shapes[[*self.openings, *without]]))

    def selects(self, choice: Choice) -> set[int]:
        """Which loops a choice of a job selects, where none is finished before."""
        return {o.index for o in chosen(Selection((choice,)), self._there)}

    @cached_property
    def _there(self) -> tuple[Outline, ...]:
        return tuple(Outline(0, "", k, loop) for k, loop in enumerate(self.drawing.loops))


def sort(drawing: Drawing) -> Sorted:
    """Sort the loops of a drawing.

    A circle in a piece up to `DUST` is a hole, whatever is around it. What holds other outlines than such holes, or is
    one of two such circles in each other, is doubtful with all in it: a recess with openings, or an opening with pieces.
    """
    loops = drawing.loops
    circles = [loop.circle for loop in loops]
    area = [loop.curve.signed_area for loop in loops]
    inside: list[list[int]] = [[] for _ in loops]
    for k, loop in enumerate(loops):
        parent = loop.parent
        while parent >= 0:
            inside[parent].append(k)
            parent = loops[parent].parent
    tiny = {k for k, c in enumerate(circles) if c and loops[k].depth and area[k] <= DUST and not inside[k]}
    doubts: list[Doubt] = []
    for k, loop in enumerate(loops):
        if loop.depth != 1:
            continue
        kind = "recess" if is_recess(loop.layer) else "mark" if is_mark(loop.layer) else "nested" if inside[k] else ""
        if not kind:
            continue
        if kind != "nested":
            tiny.discard(k)
        doubts.append(Doubt(kind, (k,), tuple(inside[k]), loop.layer if kind != "nested" else ""))
    doubts = _joined([attrs.evolve(d, inner=tuple(k for k in d.inner if k not in tiny)) for d in doubts])
    doubtful = {k for d in doubts for k in d.loops}
    openings = tuple(k for k, v in enumerate(loops) if v.depth == 1 and k not in doubtful | tiny)
    through = sorted(k for k in {*tiny, *openings} if circles[k])
    return Sorted(
        drawing,
        tuple(k for k, v in enumerate(loops) if v.depth == 0),
        openings,
        _table(through, circles),
        tuple(doubts),
    )


def _joined(doubts: list[Doubt]) -> list[Doubt]:
    """Those of one layer with nothing in them as one."""
    out: dict[object, Doubt] = {}
    for d in doubts:
        key = (d.kind, d.layer) if d.layer and not d.inner else d.around
        out[key] = attrs.evolve(out[key], around=(*out[key].around, *d.around)) if key in out else d
    return list(out.values())


def _table(through: list[int], circles: list[RoundHole | None]) -> tuple[Hole, ...]:
    """Circles by diameter, smallest first."""
    rows: list[tuple[float, list[int]]] = []
    for d, k in sorted((c.diameter, k) for k, c in ((k, circles[k]) for k in through) if c):
        if not rows or d - rows[-1][0] > ALIKE:
            rows.append((d, []))
        rows[-1][1].append(k)
    return tuple(Hole(d, tuple(sorted(ks))) for d, ks in rows)
