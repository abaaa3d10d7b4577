"""Where the cutter stands still, as the text says it: dwells, cutter changes, stops for the operator."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from attrs import frozen

from kerfwright.arrays import Bools
from kerfwright.moves import Event, Moves

__all__ = ["Waits", "standing"]

STILL = frozenset({"dwell", "pause", "optional_pause", "change", "spindle", "end"})
"""What waits until the cutter stands: a controller carries these out between moves."""


@frozen
class Waits:
    """`dwells`: rows of the move that follows and seconds · `stops`: how often the program waits for the operator.

    `changes`: cutters that the machine changes by itself · `changes_by_hand`: those where the program stops for it. The first
    cutter that the text names belongs to setting up, and is no change.
    """

    dwells: tuple[tuple[int, float], ...]
    stops: int
    changes: int
    changes_by_hand: int

    @classmethod
    def among(cls, moves: Moves) -> Waits:
        """Of a program. A stop that a switch may skip is not counted."""
        events = moves.events
        paused = {e.before for e in events if e.kind == "pause"}
        changed = list(_changed(events))
        by_hand = sum(before in paused for before in changed)
        return cls(
            dwells=tuple((e.before, float(e.value)) for e in events if e.kind == "dwell"),
            stops=sum(e.kind == "pause" for e in events),
            changes=len(changed) - by_hand,
            changes_by_hand=by_hand,
        )


def _changed(events: Sequence[Event]) -> Iterator[int]:
    """The move that follows each change: another number than the one in force."""
    last = 0
    for e in events:
        if e.kind in ("cutter", "change"):
            if last not in (0, int(e.value)):
                yield e.before
            last = int(e.value)


def standing(moves: Moves) -> Bools:
    """Whether the cutter stands at each node (n+1,): at both ends, at waits, and after each move under exact stop."""
    n = len(moves.curve)
    still = np.zeros(n + 1, np.bool_)
    still[[0, -1]] = True
    begun = 0
    exact = False
    for e in moves.events:
        if e.kind in STILL:
            still[e.before] = True
        elif e.kind == "path":
            if exact:
                still[begun + 1 : e.before + 1] = True
            begun, exact = e.before, e.value == "exact_stop"
    if exact:
        still[begun + 1 :] = True
    return still
