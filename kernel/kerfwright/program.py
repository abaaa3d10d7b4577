"""What a program is made of. A step is as long as it can be: motion holds arrays, not an object a vertex."""

from __future__ import annotations

from enum import IntEnum
from typing import TypeAlias

import numpy as np
from attrs import define, frozen

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.cutter import Cutter

__all__ = [
    "CutterChange",
    "Drilling",
    "Dwell",
    "Motion",
    "Note",
    "Pause",
    "Program",
    "Role",
    "SpindleOff",
    "SpindleOn",
    "Step",
]


class Role(IntEnum):
    """What a segment of motion is for (toolpath types of ISO 14649-10)."""

    NON_CONTACT = 0
    APPROACH = 1
    CONTACT = 2
    CONNECT = 3
    LIFT = 4


@define(frozen=True, eq=False)
class Motion:
    """A curve of n segments in program coordinates (mm), the role of each, and its feed (mm/min, 0 is rapid).

    It begins where the last step left the cutter; the first of a program begins at a place the text itself must state.
    `waste` (n,) is the side on which material goes, seen along travel: 1 left (climb), -1 right (conventional), 0 neither
    or both (air, slots, plunges). A dialect that says an arc as chords lays them on that side; None is 0 everywhere.
    `told`: where planning had to do otherwise than was first meant, in words for the user. `operation`: the path in the job
    of the operation that it is the way of, empty for none.
    """

    curve: Curve
    roles: Ints
    feeds: Floats
    waste: Ints | None = None
    told: tuple[str, ...] = ()
    operation: str = ""


@define(frozen=True, eq=False)
class Drilling:
    """The same strokes at each point (n, 2). Rapid to (x, y, travel), rapid to `clear`, the strokes, back to travel.

    Rows of strokes as `Cycle` gives them: down to z at `feed`, up to z, up by rapid 1 or feed 0, dwell (s). `operation` as
    that of a motion.
    """

    points: Floats
    travel: float
    clear: float
    strokes: Floats
    feed: float
    operation: str = ""

    @property
    def bottom(self) -> float:
        """Deepest Z of the point (mm)."""
        return float(self.strokes[:, 0].min())

    def expanded(self) -> Motion:
        """The same said as motion, from (first point, travel). Raises ValueError where a stroke dwells."""
        if (self.strokes[:, 3] > 0).any():
            raise ValueError("a dwell inside a stroke is not motion")
        k, n = self.strokes, len(self.points)
        z = np.concatenate([[self.travel, self.clear], k[:, :2].ravel(), [self.travel]])
        feeds = np.concatenate(
            [
                [0.0, 0.0],
                np.column_stack([np.full(len(k), self.feed), np.where(k[:, 2] > 0, 0.0, self.feed)]).ravel(),
                [0.0],
            ]
        )
        roles = np.concatenate(
            [[Role.NON_CONTACT, Role.APPROACH], np.tile([Role.CONTACT, Role.LIFT], len(k)), [Role.LIFT]]
        )
        nodes = np.column_stack([np.repeat(self.points, len(z), axis=0), np.tile(z, n)])
        return Motion(Curve.line(nodes), np.tile(roles, n)[1:].astype(np.int64), np.tile(feeds, n)[1:])


@frozen
class SpindleOn:
    """Start clockwise at `speed` (rpm) and wait `wake_s` until it is reached; `by_hand`: stop first, the operator sets it."""

    speed: float
    wake_s: float
    by_hand: bool = False


@frozen
class SpindleOff:
    """Stop, and wait `run_down_s` until it stands."""

    run_down_s: float


@frozen
class CutterChange:
    """From here on the program is for this cutter."""

    cutter: Cutter


@frozen
class Dwell:
    """Wait (s)."""

    seconds: float


@frozen
class Pause:
    """Stop until the operator goes on; `message` says what for."""

    message: str


@frozen
class Note:
    """A remark to the operator."""

    text: str


Step: TypeAlias = Motion | Drilling | SpindleOn | SpindleOff | CutterChange | Dwell | Pause | Note


@define(frozen=True, eq=False)
class Program:
    """The steps of one run on the machine. `kind` is program or walk-round; `travel` the Z of its travel plane (mm)."""

    name: str
    kind: str
    sheet: int
    cutter: Cutter
    travel: float
    steps: tuple[Step, ...]

    @property
    def told(self) -> tuple[str, ...]:
        """Where planning had to do otherwise than was first meant, step after step."""
        return tuple(text for step in self.steps if isinstance(step, Motion) for text in step.told)
