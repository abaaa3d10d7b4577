"""Wear along a flute: which heights above the tip met sheet, over how many metres."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.ledger.values import Flute
from kerfwright.motion import cut_lengths
from kerfwright.moves import Moves

__all__ = ["added", "bands", "busy", "worst"]

STEP = 0.1
"""Heights are kept to this (mm), stretches rather longer than shorter."""
MOST = 0.5
"""A flute is judged where it cuts at least this part of what it cuts at its busiest: a ramp passes other places too
(our choice)."""


def bands(moves: Moves, mine: Iterable[bool], underside: float, highest: float) -> tuple[Floats, Floats]:
    """Of each move (n,): the metres it cuts, 0 where it does not, and the flute that meets the sheet then: least and greatest
    height above the tip (n, 2) mm. `underside` and `highest` are Z of the sheet's faces, where it is thickest.
    """
    z = moves.curve.nodes[:, 2]
    tip = np.nan_to_num(np.minimum(z[:-1], z[1:]), nan=highest)
    metres = np.where(np.asarray(mine, bool), cut_lengths(moves, highest), 0.0) / 1000
    low, high = np.maximum(underside - tip, 0.0), highest - tip
    return metres, np.column_stack([np.floor(low / STEP + 1e-6), np.ceil(high / STEP - 1e-6)]) * STEP


def added(flute: Sequence[Flute], metres: Floats, heights: Floats) -> tuple[Flute, ...]:
    """A flute's stretches with what was cut since. Metres (n,) and heights (n, 2) as `bands` gives them."""
    cuts = metres > 0
    rows: dict[tuple[float, float], float] = {}
    for (low, high), m in zip(np.round(heights[cuts], 1).tolist(), metres[cuts].tolist()):
        rows[low, high] = rows.get((low, high), 0.0) + m
    before = ((math.floor(f.low / STEP + 1e-6) * STEP, math.ceil(f.high / STEP - 1e-6) * STEP, f.cut) for f in flute)
    every = [*before, *((a, b, m) for (a, b), m in rows.items())]
    edges = sorted({round(v, 1) for low, high, _ in every for v in (low, high)})
    out: list[Flute] = []
    for low, high in zip(edges, edges[1:]):
        cut = sum(m for a, b, m in every if a < high - 1e-9 and b > low + 1e-9)
        if cut and out and out[-1].high == low and abs(out[-1].cut - cut) < 1e-9:
            out[-1] = Flute(low=out[-1].low, high=high, cut=cut)
        elif cut:
            out.append(Flute(low=low, high=high, cut=cut))
    return tuple(out)


def busy(flute: Sequence[Flute]) -> tuple[Flute, ...]:
    """The stretches that do most of the cutting."""
    most = max((f.cut for f in flute), default=0.0)
    return tuple(f for f in flute if f.cut >= MOST * most)


def worst(flute: Sequence[Flute], low: float, high: float) -> float:
    """Most metres that a place between two heights has cut; two that are the same ask for that place."""
    low, high = low + 1e-9, high - 1e-9
    return max((f.cut for f in flute if f.low < max(low, high) and f.high > min(low, high)), default=0.0)
