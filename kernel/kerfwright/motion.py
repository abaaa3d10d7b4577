"""Lengths and times of moves, from what the text says.

Time is length over feed, rapids at the machine's rapid, dwells added. Acceleration is left out, so it is the least time.
"""

from __future__ import annotations

import numpy as np
from attrs import frozen

from kerfwright.arrays import Bools, Floats
from kerfwright.machine import Machine
from kerfwright.moves import Moves

__all__ = ["Tally", "cut_lengths", "tally"]


@frozen
class Tally:
    """Least time (s), lengths (mm) of moves that cut and of all others, extent of the cutter's tip (program zero, mm)."""

    time_s: float
    cut_length_mm: float
    travel_length_mm: float
    extent: tuple[tuple[float, float, float], tuple[float, float, float]]


def tally(moves: Moves, machine: Machine, highest: float) -> Tally:
    """Of one program. `highest` is the sheet's highest top. Moves from a place that the text has not said count nothing."""
    c = moves.curve
    said: Bools = np.asarray(np.isfinite(c.nodes).all(axis=1))
    known = said[:-1] & said[1:]
    length = np.where(known, np.nan_to_num(c.lengths_3d), 0.0)
    xy, dz = (
        np.where(known, np.nan_to_num(c.lengths), 0.0),
        np.where(known, np.abs(np.nan_to_num(np.diff(c.nodes[:, 2]))), 0.0),
    )
    rapid: Bools = np.asarray(moves.feeds == 0)
    cut = cut_lengths(moves, highest)
    seconds: Floats = np.where(
        rapid,
        np.maximum(xy / machine.rapid.xy, dz / machine.rapid.z),
        np.maximum(length / np.where(rapid, 1.0, np.minimum(moves.feeds, machine.feed.xy)), dz / machine.feed.z),
    )
    waits = sum(float(e.value) for e in moves.events if e.kind == "dwell")
    return Tally(
        time_s=float(seconds.sum()) * 60 + waits,
        cut_length_mm=float(cut.sum()),
        travel_length_mm=float((length - cut).sum()),
        extent=_extent(moves),
    )


def cut_lengths(moves: Moves, highest: float) -> Floats:
    """Length of each move (n,) in mm where it cuts, else 0. It cuts where it is a feed and part of it lies below `highest`."""
    z = moves.curve.nodes[:, 2]
    low = np.nan_to_num(np.minimum(z[:-1], z[1:]), nan=np.inf)
    out: Floats = np.where((moves.feeds > 0) & (low < highest - 1e-9), np.nan_to_num(moves.curve.lengths_3d), 0.0)
    return out


def _extent(moves: Moves) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Bulges of arcs included."""
    c = moves.curve
    inside = np.flatnonzero(np.isfinite(c.nodes).all(1))
    if not len(inside):
        return (0.0, 0.0, 0.0), (0.0, 0.0, 0.0)
    first = int(inside[0])
    known = type(c)(c.nodes[first:], c.turns[first:])
    x0, y0, x1, y1 = known.bounds
    z = known.nodes[:, 2]
    return (x0, y0, float(z.min())), (x1, y1, float(z.max()))
