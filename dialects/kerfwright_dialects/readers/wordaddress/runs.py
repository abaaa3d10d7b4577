"""Follows a run of plain lines at once. Where anything in it is not as it should be it does nothing, and says so."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.traits import Traits
from kerfwright_dialects.readers.sink import Sink
from kerfwright_dialects.readers.wordaddress.arcs import LIMIT, centers_of, pieces
from kerfwright_dialects.readers.wordaddress.grammar import Grammar
from kerfwright_dialects.readers.wordaddress.state import State

__all__ = ["follow", "ready"]


def ready(state: State) -> bool:
    """All that a run of plain lines relies on has been said."""
    return (
        state.unit is not None
        and state.incremental is not None
        and state.motion in ("G0", "G1", "G2", "G3")
        and state.per_minute
        and not state.ended
        and bool(np.isfinite(state.here).all())
    )


def follow(values: Floats, first: int, state: State, sink: Sink, traits: Traits, grammar: Grammar) -> bool:
    """Columns of plain lines (8, n), `first` the number of the first line. False: nothing was done, read them word by word."""
    said = ~np.isnan(values)
    numbers = values[7][said[7]]
    if grammar.rising and (np.diff(numbers, prepend=state.number) <= 0).any():
        return False
    moves = said[1:4].any(axis=0)
    mode = _held(values[0], said[0], float(state.motion[1]))
    feed = _held(values[6] * (state.unit or 1.0), said[6], state.feed)
    if not (feed[1:][moves & (mode[1:] > 0)] > 0).all():
        return False
    nodes = _places(values[1:4], said[1:4], state)
    arc, centered = moves & (mode[1:] > 1), said[4] | said[5]
    if (centered != arc).any() or (arc & ~(said[1] | said[2])).any():
        return False
    where = np.flatnonzero(moves)
    start, end = nodes[where], nodes[where + 1]
    turns, centers = np.zeros(len(where)), np.zeros((len(where), 2))
    if arc.any():
        if not (traits.arcs and state.plane):
            return False
        k = arc[where]
        if traits.arc_centers == "radius" or (grammar.quadrants and not state.quadrants):
            return False
        if traits.arc_centers == "absolute" and not said[4:6, where[k]].all():
            return False
        if not traits.helices and said[3, where[k]].any():
            return False
        given = np.where(said[4:6, where[k]], values[4:6, where[k]], 0.0).T * (state.unit or 1.0)
        sign = np.where(mode[1:][where[k]] == 3, 1.0, -1.0)
        limit = LIMIT[state.unit or 1.0]
        turns[k], centers[k], uneven, vague = centers_of(start[k, :2], end[k, :2], given, sign, limit, traits)
        if uneven.any() or vague.any():
            return False
    ends, turns, of = pieces(start, end, centers, turns)
    line = where[of]
    sink.run(ends, turns, np.where(mode[1:][line] > 0, feed[1:][line], 0.0), first + line, state.spindle)
    state.here, state.motion, state.feed = nodes[-1].copy(), f"G{mode[-1]:.0f}", float(feed[-1])
    state.number = int(numbers[-1]) if len(numbers) else state.number
    if said[:7].any():
        state.remark = ""
    return True


def _held(values: Floats, said: Bools, before: float) -> Floats:
    """(n+1,): what holds before the first line and in each line, where it stays until it is said anew."""
    all_values = np.concatenate([[before], values])
    known: Ints = np.concatenate([[0], np.where(said, np.arange(1, len(values) + 1), 0)])
    return all_values[np.maximum.accumulate(known)]


def _places(values: Floats, said: Bools, state: State) -> Floats:
    """(n+1, 3): where the cutter stands before the first line and after each."""
    mm = values * (state.unit or 1.0) + 0.0
    if state.incremental:
        steps = np.where(said, mm, 0.0)
        return np.cumsum(np.concatenate([state.here[:, None], steps], axis=1), axis=1).T
    return np.stack([_held(mm[k], said[k], float(state.here[k])) for k in range(3)], axis=1)
