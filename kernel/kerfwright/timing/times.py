"""The time of a program: move by move, and what is waited."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Bools, Floats
from kerfwright.machine import Acceleration, Machine
from kerfwright.moves import Moves
from kerfwright.timing.corners import corner_speeds
from kerfwright.timing.durations import durations
from kerfwright.timing.limits import accelerations, bend_speeds, feed_speeds
from kerfwright.timing.pieces import Pieces
from kerfwright.timing.speeds import node_speeds
from kerfwright.timing.waits import Waits, standing

__all__ = ["Times", "timed"]


@define(frozen=True, eq=False)
class Times:
    """Of n moves. `kind` accelerated: the machine's accelerations are known · least: length over speed, nothing more is known.

    `moving` (n,) seconds of each move; one from a place that the text has not said takes none · `waits` as the text says them ·
    `change_s` the machine's time for a cutter change.
    """

    kind: str
    moving: Floats
    waits: Waits
    change_s: float

    @property
    def total_s(self) -> float:
        """What the machine needs by itself: moves, dwells, cutter changes that it makes alone."""
        waits = sum(seconds for _, seconds in self.waits.dwells)
        return float(self.moving.sum()) + waits + self.change_s * self.waits.changes

    @property
    def waiting_s(self) -> float:
        """For the operator: cutter changes where the program stops. How long other stops last nobody knows."""
        return self.change_s * self.waits.changes_by_hand

    def between(self, begin: int, end: int) -> float:
        """From the move `begin` to before the move `end`: moves, and dwells between them."""
        waits = sum(seconds for before, seconds in self.waits.dwells if begin < before < end)
        return float(self.moving[begin:end].sum()) + waits


def timed(moves: Moves, machine: Machine) -> Times:
    """Of one program on its machine; a machine without `acceleration` gives the least time."""
    pieces = Pieces.among(moves)
    most = feed_speeds(pieces, machine)
    moving = np.zeros(len(moves.curve))
    if machine.acceleration is None:
        moving[pieces.of] = pieces.lengths / most
    else:
        moving[pieces.of] = _accelerated(moves, pieces, most, machine.acceleration, machine.path_deviation)
    kind = "least" if machine.acceleration is None else "accelerated"
    return Times(kind, moving, Waits.among(moves), machine.change_s)


def _accelerated(moves: Moves, pieces: Pieces, most: Floats, acceleration: Acceleration, deviation: float) -> Floats:
    """Seconds (m,) of each piece."""
    if not len(pieces.of):
        return np.zeros(0)
    most = np.minimum(most, bend_speeds(pieces, acceleration))
    along = accelerations(pieces, acceleration)
    corners = np.where(pieces.joined, corner_speeds(pieces, acceleration, deviation), 0.0)
    nodes = np.concatenate([[0.0], np.minimum(np.minimum(most[:-1], most[1:]), corners), [0.0]])
    nodes[_still(moves, pieces)] = 0.0
    speeds = node_speeds(nodes, pieces.lengths, along)
    return durations(pieces.lengths, speeds[:-1], speeds[1:], most, along)


def _still(moves: Moves, pieces: Pieces) -> Bools:
    """Nodes of the pieces (m+1,) where the cutter stands: a node of the moves between two pieces is the node of both."""
    node = np.searchsorted(pieces.of, np.flatnonzero(standing(moves)))
    still = np.zeros(len(pieces.of) + 1, np.bool_)
    still[node] = True
    return still
