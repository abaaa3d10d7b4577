"""What a program's text says, read back: moves and events, from the text alone."""

from __future__ import annotations

from attrs import define, field, frozen

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve

__all__ = ["Event", "Moves"]


@frozen
class Event:
    """Something the text says besides motion: `before` is the index of the move that follows it (n at the end).

    kinds and values: `units` mm|inch · `distance` absolute|incremental · `plane` xy|xz|yz · `feed_mode` per_minute|inverse_time ·
    `path` exact_path|exact_stop|continuous · `offset` cutter radius/length compensation off|on ·
    `work_offset` number · `speed` rpm · `spindle` clockwise|counterclockwise|off · `coolant` on|off ·
    `cutter` T number (float) · `change` cutter change, number of the cutter that goes in (float); the spindle stands after it ·
    `dwell` seconds · `pause` what the stop shows: the message before it, or the comment in its block or right before it ·
    `optional_pause` the same, where a switch decides whether it stops ·
    `comment` text · `message` text for the operator · `override` on|off: feed and speed may be changed at the machine ·
    `return_level` of a cycle initial|retract · `end` of the program, which stops the spindle ·
    `cycle` name|off · `start` program delimiter · `name` program name. Kinds without a value carry an empty text.
    """

    kind: str
    value: str | float
    line: int
    before: int


@define(frozen=True, eq=False)
class Moves:
    """n moves: the way as one curve (mm, program zero), and of each move its feed, program line, spindle and cutter.

    A coordinate that the text has not said yet is nan: the first moves of a program start somewhere unknown.
    feeds (n,) mm/min, 0 is rapid · lines (n,) from 1 · spindle (n,) rpm while it turns, 0 when off ·
    cutter (n,) number of the T word in force, 0 for none · events in order · count of text lines in `length`.
    """

    curve: Curve
    feeds: Floats
    lines: Ints
    spindle: Floats
    cutter: Ints
    events: tuple[Event, ...] = field(default=())
    length: int = 0
