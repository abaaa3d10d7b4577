"""An order improved until no change of two kinds makes it shorter."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Bools, Ints
from kerfwright_plugins.route._line import RUN, Line
from kerfwright_plugins.route._ways import TABLED, Ways

__all__ = ["improved"]

NEAR = 8
"""Neighbours of a stop that are looked at first."""


def improved(ways: Ways, before: Ints, order: Ints) -> Ints:
    """The order (stops from 1) improved until neither taking a stretch of it in reverse nor moving a run of up to three
    blocks, as it is or in reverse, makes it shorter. `before` are rows (a, b) of stops; the order given keeps them.

    Beyond `TABLED` blocks a change is looked for only where it makes two near neighbours meet.
    """
    line = Line(ways, before, np.r_[0, order, 0].astype(np.int64))
    a, b = ways.pairs(NEAR)
    live = np.ones(len(order) + 1, bool)
    while True:
        last = not live.any()
        if not last:
            now = live[a] | live[b]
            found = _near(line, a[now], b[now])
        else:
            found = _all(line) if len(order) <= TABLED else _near(line, a, b)
        if last and not len(found):
            return line.stops[1:-1]
        live = _apply(line, found)


def _near(line: Line, a: Ints, b: Ints) -> Ints:
    """Changes that make some a, b neighbours."""
    n, p, q = line.n, line.place[a], np.where(b == 0, line.n + 1, line.place[b])
    out = []
    for i, j in ((p + 1, q), (p, q - 1)):
        ok = (i >= 1) & (i < j) & (j <= n)
        out.append(_turns(line, i[ok], j[ok]))
    for count in range(1, RUN + 1):
        back = count - 1
        for i, k, turn in ((q, p, False), (p - back, q - 1, False), (q - back, p, True), (p, q - 1, True)):
            if turn and count == 1:
                continue
            ok = (i >= 1) & (i + back <= n)
            out.append(_moves(line, i[ok], k[ok], count, turn))
    return np.vstack(out)


def _all(line: Line) -> Ints:
    """All changes there are. One of the new ways alone must be shorter than what is given up: few pass, and are measured."""
    n, on, stops = line.n, line.on, line.stops
    moves = []  # count, turn, column of the stop that comes first, and the most its new way may have, less the way left
    for count in range(1, min(RUN, n) + 1):
        i = np.arange(1, n + 2 - count)
        e = i + count - 1
        freed = on[i - 1] + on[e] - line.ways(stops[i - 1], stops[e + 1])
        moves.append((count, False, i, freed))
        if count > 1:
            moves.append((count, True, e, freed - line.turn[e] + line.turn[i]))
    out = []
    for places in np.array_split(np.arange(n + 1), n // 64 + 1):  # pieces that a processor keeps near
        way, left = line.ways(stops[places, None], stops[:-1]), on[places, None]
        i, j = np.nonzero(way < left + line.turn[places + 1, None] + on - line.turn[:-1])
        i = places[i] + 1
        out.append(_turns(line, i[i < j], j[i < j]))
        for count, turn, column, most in moves:
            k, at = np.nonzero(way[:, column[0] : column[-1] + 1] < left + most)
            out.append(_moves(line, at + 1, places[k], count, turn))
    return np.vstack(out)


def _turns(line: Line, i: Ints, j: Ints) -> Ints:
    gain = line.turned(i, j)
    good = gain > 0
    gain, i, j = gain[good], i[good], j[good]
    return np.column_stack([gain, i, j, i, j, np.ones(len(i), np.int64)])


def _moves(line: Line, i: Ints, k: Ints, count: int, turn: bool) -> Ints:
    gain = line.moved(i, k, count, turn)
    good = gain > 0
    gain, i, k = gain[good], i[good], k[good]
    e = i + count - 1
    return np.column_stack([gain, np.minimum(i, k + 1), np.maximum(e, k), i, e, np.full(len(i), int(turn))])


def _apply(line: Line, found: Ints) -> Bools:
    """Make the best of the changes (gain, lo, hi, i, e, turn) that do not touch each other; stops to look at again."""
    live, taken = np.zeros(line.n + 1, bool), np.zeros(line.n + 1, bool)
    lo, hi, i, e = found.T[1:5]
    live[line.stops[np.concatenate([lo - 1, lo, hi, hi + 1, i - 1, i, e, e + 1])]] = True
    for _, lo, hi, i, e, turn in found[np.lexsort((*found.T[:0:-1], -found[:, 0]))].tolist():
        if not taken[lo - 1 : hi + 1].any():
            taken[lo - 1 : hi + 1] = True  # ways from each place to the next
            line.change(lo, hi, i, e, turn)
    line.refresh()
    return live
