"""Gathers moves and events while a text is followed; single moves and whole runs of them."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.moves import Event, Moves

__all__ = ["Sink"]

WIDE = 7
"""Columns of a move: end X, Y, Z, angle, feed, line, spindle."""


class Sink:
    """Moves and events in order."""

    def __init__(self) -> None:
        self.count = 0
        self.events: list[Event] = []
        self._rows: list[tuple[float, ...]] = []
        self._runs: list[Floats] = []

    def event(self, kind: str, value: str | float, line: int) -> None:
        """Something said before the next move."""
        self.events.append(Event(kind, value, line, self.count))

    def move(self, end: Floats, turn: float, feed: float, line: int, spindle: float) -> None:
        """One segment."""
        self._rows.append((*end.tolist(), turn, feed, float(line), spindle))
        self.count += 1

    def run(self, ends: Floats, turns: Floats, feeds: Floats, lines: Ints, spindle: float) -> None:
        """Many segments; the spindle does not change among them."""
        self._flush()
        self._runs.append(np.column_stack([ends, turns, feeds, lines, np.full(len(lines), spindle)]))
        self.count += len(lines)

    def moves(self, length: int) -> Moves:
        """All of them. The place before the first is unknown."""
        self._flush()
        table = np.vstack([np.zeros((0, WIDE)), *self._runs])
        nodes = np.vstack([np.full((1, 3), np.nan), table[:, :3]])
        return Moves(
            curve=Curve(nodes, np.ascontiguousarray(table[:, 3])),
            feeds=np.ascontiguousarray(table[:, 4]),
            lines=table[:, 5].astype(np.int64),
            spindle=np.ascontiguousarray(table[:, 6]),
            cutter=self._cutters(),
            events=tuple(self.events),
            length=length,
        )

    def _flush(self) -> None:
        if self._rows:
            self._runs.append(np.array(self._rows, float))
            self._rows = []

    def _cutters(self) -> Ints:
        """Where the text changes cutters, the change puts one in; else the T word alone names it."""
        kinds = [e.kind for e in self.events]
        kind = "change" if "change" in kinds else "cutter"
        cutters = np.zeros(self.count, np.int64)
        for e in self.events:
            if e.kind == kind:
                cutters[e.before :] = int(e.value)
        return cutters
