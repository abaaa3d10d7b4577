"""What the hold grips of a sheet that cuts have parted, and what bridges have sheet behind them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from kerfwright.arrays import Bools
from kerfwright.evidence import Evidence
from kerfwright.operation import Profile
from kerfwright.shrinking import grown
from kerfwright_plugins.checks.remains import Standing
from kerfwright_plugins.checks.target import target

__all__ = ["LINKED", "backed", "held", "screwed", "screws", "suction", "thick"]

LINKED = ("screws", "frame")
"""Holds that grip the sheet, not what is cut out of it."""
DUST = 0.02
"""What has no room for a disc of this radius is dust (mm): cusps and slivers between two laps of a cutter."""
CRUMB = 0.05
"""What is smaller than this in plan (mm2) is dust too, whatever its shape: a quarter of a millimeter square, which the
dust shoe takes as it takes chips (from memory).
"""
RIM = 0.01
"""What ends this near a side of the sheet reaches it (mm)."""


def thick(areas: Any) -> Bools:
    """Which polygons are more than dust, (n,)."""
    out = shapely.area(areas) > CRUMB
    out[out] = shapely.length(shapely.maximum_inscribed_circle(areas[out], 0.005)) > DUST
    return np.asarray(out, np.bool_)


def screwed(evidence: Evidence, areas: Any) -> Bools:
    """In which areas a keepout stands, (n,). Of a clamp that reaches over the sheet's edge the part on the sheet counts."""
    out = np.zeros(len(areas), np.bool_)
    for one in screws(evidence):
        out |= shapely.covers(areas, one)
    return out


def held(evidence: Evidence, rest: Any) -> Bools:
    """Which of the polygons that cuts over the sheet's edge leave of it are held as the sheet, (n,).

    One that consists of pieces alone, cut out all around, is not: nothing of the sheet is left on it. Of the others:

    - screws, and keepouts named: those in which one stands (common practice: a screw that the cutter could meet is named).
      Where nothing was parted, the sheet is held as it was before: its screws may stand where no cutter comes.
    - frame: those that reach two opposite sides of the sheet; along one side alone a strip can tip (from memory).
    - else the largest: with no screw named nobody knows more, and tape and vacuum hold by area what is not it.
    """
    sheet = ~_alone(evidence, rest)
    if not sheet.any():
        return sheet
    if evidence.setup.job.sheet.hold == "frame":
        box, whole = shapely.bounds(rest), np.array(evidence.setup.stock.bounds)
        at = np.abs(box - whole) <= RIM
        return np.asarray(sheet & ((at[:, 0] & at[:, 2]) | (at[:, 1] & at[:, 3]) | screwed(evidence, rest)))
    if evidence.setup.job.sheet.hold == "screws" and len(rest) > 1 and screws(evidence):
        return np.asarray(sheet & screwed(evidence, rest))
    return np.asarray(np.arange(len(rest)) == np.argmax(np.where(sheet, shapely.area(rest), -1.0)))


def backed(evidence: Evidence, standing: Sequence[Standing]) -> list[Standing]:
    """The bridges that have sheet behind them: across the kerf from the outline, the sheet has not ended yet."""
    stock, outlines = evidence.setup.stock, evidence.shared(target).outlines
    loops = [p.loops for p in evidence.setup.pieces]
    out = []
    for one in standing:
        of = one.must.piece
        loop = one.must.loop if one.must.loop >= 0 else _nearest(outlines[of], one)
        inner = loops[of][loop].depth % 2 or one.must.work.waste(loops[of][loop]) == "inside"
        if inner or shapely.contains(stock, _across(one, outlines[of][loop])):
            out.append(one)
    return out


def suction(area: float, pressure: float = 60.0) -> float:
    """Force (N) that a vacuum of `pressure` (kPa) below the air's holds an area (mm2) down with: pressure times area.

    >>> suction(2400.0)
    144.0
    """
    return area * pressure / 1000


def screws(evidence: Evidence) -> list[shapely.Geometry]:
    """Keepouts as far as they stand on the sheet."""
    on = [shapely.buffer(shapely.intersection(a, evidence.setup.stock), -0.01) for a, _ in evidence.setup.keepouts]
    return [one for one in on if not one.is_empty]


def _alone(evidence: Evidence, rest: Any) -> Bools:
    """Which polygons are pieces with nothing of the sheet on them but stubs of bridges, no longer than a kerf is wide."""
    setup, outlines = evidence.setup, evidence.shared(target).outlines
    out = np.zeros(len(rest), np.bool_)
    cut = [
        (outlines[p][k], work.operation.cutter.cuts + work.operation.allowance.side)
        for work in setup.works
        if isinstance(work.operation, Profile) and work.operation.pierces
        for p, k in work.loops
        if setup.pieces[p].loops[k].parent < 0 and work.waste(setup.pieces[p].loops[k]) != "inside"
    ]
    if not cut or not len(rest):
        return out
    kerfs = shapely.union_all([grown(outline, wide + RIM, 0.005) for outline, wide in cut])
    for n, one in enumerate(rest):
        out[n] = not thick(shapely.get_parts(shapely.difference(one, kerfs))).any()
    # a sliver between the edge and a kerf is no piece
    inside = shapely.STRtree(rest).query(np.array([o for o, _ in cut]), predicate="intersects")[1]
    return np.asarray(out & np.isin(np.arange(len(rest)), inside))


def _nearest(outlines: Any, one: Standing) -> int:
    return int(np.argmin(shapely.distance(shapely.boundary(outlines), shapely.Point(one.at))))


def _across(one: Standing, outline: shapely.Polygon) -> shapely.Point:
    """A point as far from the outline as the kerf is wide, over the middle of a bridge."""
    at = float(shapely.line_locate_point(one.wall, shapely.Point(one.at)))
    a, b = shapely.get_coordinates(shapely.line_interpolate_point(one.wall, [max(at - 0.1, 0.0), at + 0.1]))
    way = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
    out = np.array([way[1], -way[0]])
    if shapely.contains(outline, shapely.Point(np.array(one.at) + 0.05 * out)):
        out = -out
    return shapely.Point(np.array(one.at) + 2 * one.must.radius * out)
