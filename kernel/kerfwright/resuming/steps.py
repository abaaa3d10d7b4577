"""Moves read from a text as steps, so that any dialect can write them again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from kerfwright.curve import Curve
from kerfwright.cutter import Cutter
from kerfwright.errors import CannotSay
from kerfwright.job import Job
from kerfwright.moves import Event, Moves
from kerfwright.program import CutterChange, Dwell, Motion, Note, Pause, Role, SpindleOff, SpindleOn, Step

__all__ = ["motion_of", "steps_of"]

MODES = (
    "units", "distance", "plane", "feed_mode", "path", "offset", "work_offset", "return_level", "cycle", "start", "name", "end",
)  # fmt: skip
"""What a dialect states anew by itself, or what is motion already."""


def motion_of(moves: Moves, first: int, last: int) -> Motion:
    """Moves `first` up to `last` (not included)."""
    curve = Curve(moves.curve.nodes[first : last + 1], moves.curve.turns[first:last])
    feeds = moves.feeds[first:last]
    roles = np.where(feeds > 0, Role.CONTACT, Role.NON_CONTACT).astype(np.int64)
    return Motion(curve, roles, feeds)


def steps_of(moves: Moves, first: int, cutter: Cutter, job: Job) -> tuple[Step, ...]:
    """All that the text says from the move `first` on: motion, dwells, stops, spindle, cutters, remarks.

    The spindle that turns at `first` is not started here. Raises CannotSay for what no step stands for: nothing is left out.
    """
    return tuple(_steps(moves, first, cutter, job))


def _steps(moves: Moves, first: int, cutter: Cutter, job: Job) -> Iterator[Step]:
    events = [e for e in moves.events if e.before > first and e.kind not in MODES]
    said = [float(e.value) for e in moves.events if e.kind == "speed" and e.before <= first]
    speed, turning = (said[-1] if said else 0.0), bool(moves.spindle[first] > 0)
    at, k = first, 0
    while k < len(events):
        e, last = events[k], k
        k += 1
        if e.before > at:
            yield motion_of(moves, at, e.before)
            at = e.before
        if e.kind == "speed":
            changed, speed = float(e.value) != speed, float(e.value)
            if turning and changed:
                wait, k = _wait(events, k)
                yield SpindleOn(speed, wait)
        elif e.kind == "spindle" and e.value != "counterclockwise":
            turning = e.value != "off"
            wait, k = _wait(events, k)
            yield SpindleOn(speed, wait) if turning else SpindleOff(wait)
        elif e.kind in ("cutter", "change"):
            if int(e.value) != cutter.number:
                cutter = _numbered(job, e)
                yield CutterChange(cutter)
        elif _of_a_change(events, last, cutter) and job.machine.cutter_change != "separate_programs":
            continue  # the change brings its own stop
        elif (step := _plain(events, last)) is not None:
            yield step
    if at < len(moves.curve):
        yield motion_of(moves, at, len(moves.curve))


def _of_a_change(events: Sequence[Event], k: int, cutter: Cutter) -> bool:
    """It is the stop of a change of cutter: right before the number of another one, or right after a change."""
    if events[k].kind != "pause":
        return False
    here = [v for v in events[:k] if v.before == events[k].before and v.kind not in ("comment", "message")]
    then = [v for v in events[k + 1 :] if v.before == events[k].before and v.kind not in ("comment", "message")]
    other = bool(then) and then[0].kind in ("cutter", "change") and int(then[0].value) != cutter.number
    return other or (bool(here) and here[-1].kind == "change")


def _plain(events: Sequence[Event], k: int) -> Step | None:
    """The step that one event is by itself; None where another one says it. Raises CannotSay where there is no such step."""
    e = events[k]
    if e.kind in ("comment", "message"):
        return None if _shown_by_a_stop(e, events[k + 1 :]) else Note(str(e.value))
    if e.kind == "dwell":
        return Dwell(float(e.value))
    if e.kind in ("pause", "optional_pause"):
        return Pause(str(e.value).strip() or "stop")
    if e.kind == "coolant" and e.value == "off":
        return None
    raise CannotSay(f"line {e.line}: {e.kind.replace('_', ' ')} {e.value}".rstrip())


def _wait(events: Sequence[Event], k: int) -> tuple[float, int]:
    """The dwells that follow at once, together."""
    wait = 0.0
    while k < len(events) and events[k].kind == "dwell" and events[k].before == events[k - 1].before:
        wait += float(events[k].value)
        k += 1
    return wait, k


def _shown_by_a_stop(e: Event, later: Sequence[Event]) -> bool:
    return bool(later) and later[0].kind in ("pause", "optional_pause") and later[0].value == e.value


def _numbered(job: Job, e: Event) -> Cutter:
    for cutter in job.cutters.values():
        if cutter.number == int(e.value):
            return cutter
    raise CannotSay(f"line {e.line}: T{int(e.value)}, which the job does not have")
