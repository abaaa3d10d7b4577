"""Does what one block says, in the document's order of execution, and refuses what has no one meaning."""

from __future__ import annotations

import re

from kerfwright.traits import Traits
from kerfwright_dialects.readers.sink import Sink
from kerfwright_dialects.readers.wordaddress.codes import Codes, codes
from kerfwright_dialects.readers.wordaddress.grammar import Grammar
from kerfwright_dialects.readers.wordaddress.motion import move
from kerfwright_dialects.readers.wordaddress.state import State
from kerfwright_dialects.readers.wordaddress.words import AXES, Block

__all__ = ["execute"]

SECONDS = {"s": 1.0, "ms": 0.001}
_PATHS = {"G61": "exact_path", "G61.1": "exact_stop", "G64": "continuous"}
_NO_USE = {
    "D": "D belongs to cutter radius compensation, which is outside what is read",
    "H": "H belongs to length compensation, which is outside what is read",
    "K": "K is no use to an arc in the XY plane, nor to anything else that is read",
    "A": "rotary axes are outside what is read",
    "B": "rotary axes are outside what is read",
    "C": "rotary axes are outside what is read",
    "I": "I is used only with G2 and G3",
    "J": "J is used only with G2 and G3",
    "L": "L is used only with a canned cycle",
    "P": "P is used only with G4 and G82",
    "Q": "Q is used only with G83",
    "R": "R is used only with G2, G3 and a canned cycle",
}


def execute(block: Block, state: State, sink: Sink, traits: Traits, grammar: Grammar) -> None:
    """Follow one block. Raises CannotRead."""
    said = codes(block, grammar)
    waits = _wait(said, state, traits)
    motion = _motion(said, state)
    _no_word_without_use(said, motion)
    if block.comment is not None:
        _comment(block.comment, block.line, state, sink)
    _rates(said, state, sink, grammar)
    _cutter_and_spindle(said, state, sink)
    if waits is not None:
        sink.event("dwell", waits, said.line)
    _modes(said, state, sink, traits)
    said_motion = said.by_group.get("motion")
    if said_motion == "G80" or (state.motion[:2] == "G8" and motion and motion[:2] != "G8"):
        sink.event("cycle", "off", block.line)
    elif motion and motion[:2] == "G8" and motion != state.motion:
        sink.event("cycle", motion, block.line)
    if said_motion is not None:
        if said_motion != state.motion:
            state.sticky.clear()
            if said_motion[:2] != "G8" or state.motion[:2] != "G8":
                state.cycle_from = float("nan")
        state.motion = "" if said_motion == "G80" else said_motion
    if motion:
        move(motion, said, state, sink, traits, grammar)
    _stop(said, state, sink)
    if block.words:
        state.remark = ""


def _motion(said: Codes, state: State) -> str:
    """The motion this block makes, or nothing."""
    code = said.by_group.get("motion")
    axis = next((a for a in said.words if a in AXES), None)
    if code == "G80":
        if axis:
            raise said.fault(axis, "G80 ends all motion: there are no axis words with it")
        return ""
    if axis is None:
        if code:
            raise said.fault(code, "a motion code needs at least one axis word")
        return ""
    if not (code or state.motion):
        raise said.fault(axis, "axis words need a motion code in force")
    return code or state.motion


def _no_word_without_use(said: Codes, motion: str) -> None:
    used = {"F", "S", "T", *AXES}
    used |= {"G2": {"I", "J", "R"}, "G3": {"I", "J", "R"}}.get(motion, set())
    used |= {"G81": {"R", "L"}, "G82": {"R", "L", "P"}, "G83": {"R", "L", "Q"}}.get(motion, set())
    for letter in said.words:
        if letter not in used:
            raise said.fault(letter, _NO_USE[letter])


def _comment(text: str, line: int, state: State, sink: Sink) -> None:
    match = re.match(r"[ \t]*m[ \t]*s[ \t]*g[ \t]*,", text, re.IGNORECASE | re.ASCII)
    if match:
        state.message = text[match.end() :]
        sink.event("message", state.message, line)
    else:
        state.remark = text
        sink.event("comment", text, line)


def _rates(said: Codes, state: State, sink: Sink, grammar: Grammar) -> None:
    if said.by_group.get("feed mode"):
        state.per_minute = True
        sink.event("feed_mode", "per_minute", said.line)
    if (feed := said.value("F")) is not None:
        if feed < 0:
            raise said.fault("F", "a feed is not negative")
        if state.unit is None:
            raise said.fault("F", f"a feed needs {grammar.units} in an earlier block")
        if not state.per_minute:
            raise said.fault("F", "a feed needs G94 before it")
        state.feed = feed * state.unit
    if (speed := said.value("S")) is not None:
        if speed < 0:
            raise said.fault("S", "a spindle speed is not negative")
        state.speed = speed
        sink.event("speed", speed, said.line)


def _cutter_and_spindle(said: Codes, state: State, sink: Sink) -> None:
    if (number := said.value("T")) is not None:
        if number < 0 or number != int(number):
            raise said.fault("T", "a cutter number is whole and not negative")
        state.cutter = int(number)
        sink.event("cutter", number, said.line)
    if "cutter change" in said.by_group:
        if state.cutter is None:
            raise said.fault("M6", "a cutter change needs a T word")
        state.turning = False
        sink.event("change", float(state.cutter), said.line)
    spindle = said.by_group.get("spindle")
    if spindle == "M5":
        state.turning = False
        sink.event("spindle", "off", said.line)
    elif spindle:
        if state.speed != state.speed:
            raise said.fault(spindle, "a spindle start needs an S word")
        state.turning = True
        sink.event("spindle", "clockwise" if spindle == "M3" else "counterclockwise", said.line)
    if coolant := said.by_group.get("coolant"):
        sink.event("coolant", "off" if coolant == "M9" else "on", said.line)
    if overrides := said.by_group.get("overrides"):
        sink.event("override", "on" if overrides == "M48" else "off", said.line)


def _wait(said: Codes, state: State, traits: Traits) -> float | None:
    """Seconds of a dwell in this block, None for none. Its time is taken out of the words: it is no place and no feed."""
    if "nonmodal" not in said.by_group:
        return None
    letter = traits.dwell_word
    time = said.value(letter)
    if time is None:
        raise said.fault("G4", f"a dwell needs {letter}")
    if time < 0:
        raise said.fault(letter, "a dwell is not negative")
    if said.by_group.get("motion", state.motion) == "G82" and letter == "P" and any(a in said.words for a in AXES):
        raise said.fault("P", "G4 and G82 in one block both ask for P")
    del said.words[letter]
    return time * SECONDS[traits.dwell_unit]


def _modes(said: Codes, state: State, sink: Sink, traits: Traits) -> None:
    group, line = said.by_group, said.line
    if "plane" in group:
        state.plane = True
        sink.event("plane", "xy", line)
    if units := group.get("units"):
        state.change_unit(25.4 if units == "G20" else 1.0)
        sink.event("units", "inch" if units == "G20" else "mm", line)
    for compensation in ("radius compensation", "length compensation"):
        if compensation in group:
            sink.event("offset", "off", line)
    if offset := group.get("work offset"):
        known = bool((state.here == state.here).any())
        if offset != state.work_offset and (state.work_offset or known):
            raise said.fault(offset, "a work offset after the first place: where the cutter stands would not be known")
        state.work_offset = offset
        sink.event("work_offset", _number(offset), line)
    if "quadrants" in group:
        if group["quadrants"] != {"single": "G74", "multi": "G75"}[traits.quadrants]:
            raise said.fault(group["quadrants"], f"the dialect's arcs are {traits.quadrants}-quadrant")
        state.quadrants = True
    if path := group.get("path control"):
        sink.event("path", _PATHS[path], line)
    if distance := group.get("distance"):
        state.change_distance(distance == "G91")
        sink.event("distance", "incremental" if distance == "G91" else "absolute", line)
    if level := group.get("return level"):
        state.return_level = level
        sink.event("return_level", "initial" if level == "G98" else "retract", line)


def _number(offset: str) -> float:
    """G54 is the first coordinate system, G59.3 the ninth."""
    return float(offset[1:3]) - 53 + (float(offset[4]) if "." in offset else 0)


def _stop(said: Codes, state: State, sink: Sink) -> None:
    stop = said.by_group.get("stopping")
    if stop in ("M0", "M1"):
        sink.event("pause" if stop == "M0" else "optional_pause", state.message or state.remark, said.line)
        state.message = ""
    elif stop:
        state.ended = True
        sink.event("end", "", said.line)
