"""The moves that have a length, as pieces of a path in space."""

from __future__ import annotations

import numpy as np
from attrs import define

from kerfwright.arrays import Bools, Floats, Ints
from kerfwright.moves import Moves

__all__ = ["Pieces"]

SHORT = 1e-9
"""A move shorter than this (mm) has no direction; it takes no time."""


@define(frozen=True, eq=False)
class Pieces:
    """m pieces: those of n moves that go somewhere from a place that the text has said.

    `of` (m,) the move of each · `lengths` (m,) mm in space · `feeds` (m,) mm/min, 0 is rapid · `radii` (m,) mm, inf for a line ·
    `across` and `down` (m,) the shares of the speed that X and Y, and that Z have: cosine and sine of the slope, not negative ·
    `starts` and `ends` (m, 3) unit vectors of travel at both ends · `joined` (m-1,) a piece begins where the last one ended.
    """

    of: Ints
    lengths: Floats
    feeds: Floats
    radii: Floats
    across: Floats
    down: Floats
    starts: Floats
    ends: Floats
    joined: Bools

    @classmethod
    def among(cls, moves: Moves) -> Pieces:
        """Of a program's moves."""
        c = moves.curve
        said: Bools = np.asarray(np.isfinite(c.nodes).all(axis=1))
        length = np.where(said[:-1] & said[1:], c.lengths_3d, 0.0)
        of = np.flatnonzero(length > SHORT)
        length = length[of]
        across, fall = c.lengths[of] / length, (c.nodes[of + 1, 2] - c.nodes[of, 2]) / length
        return cls(
            of=of,
            lengths=length,
            feeds=moves.feeds[of],
            radii=c.radii[of],
            across=across,
            down=np.abs(fall),
            starts=_pointing(c.directions[of, 0], across, fall),
            ends=_pointing(c.directions[of, 1], across, fall),
            joined=_joined(c.nodes, of),
        )


def _pointing(angles: Floats, across: Floats, fall: Floats) -> Floats:
    return np.stack([np.cos(angles) * across, np.sin(angles) * across, fall], axis=1)


def _joined(nodes: Floats, of: Ints) -> Bools:
    """A place that was forgotten between two pieces parts them."""
    lost = np.concatenate([[0], np.cumsum(~np.isfinite(nodes).all(axis=1))])  # before each node
    together: Bools = lost[of[1:] + 1] == lost[of[:-1] + 1]
    return together
