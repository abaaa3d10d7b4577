"""Lengths, times and extent of moves, from what the text says."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Floats
from kerfwright.machine import Machine
from kerfwright.moves import Moves
from kerfwright.timing import Times, timed

__all__ = ["Tally", "cut_lengths", "tally"]


@define(frozen=True, eq=False)
class Tally:
    """Times, lengths (mm) of moves that cut and of all others, extent of the cutter's tip (program zero, mm)."""

    times: Times
    cut_length_mm: float
    travel_length_mm: float
    extent: tuple[tuple[float, float, float], tuple[float, float, float]]


def tally(moves: Moves, machine: Machine, highest: float) -> Tally:
    """Of one program. `highest` is the sheet's highest top. Moves from a place that the text has not said count nothing."""
    cut = cut_lengths(moves, highest)
    return Tally(
        times=timed(moves, machine),
        cut_length_mm=float(cut.sum()),
        travel_length_mm=float((np.nan_to_num(moves.curve.lengths_3d) - cut).sum()),
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
