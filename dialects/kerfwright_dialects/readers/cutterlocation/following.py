"""Does what one statement says, and refuses what has no one meaning."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.traits import Traits
from kerfwright_dialects.readers.cutterlocation.state import Circle, State
from kerfwright_dialects.readers.cutterlocation.statement import Statement
from kerfwright_dialects.readers.sink import Sink

__all__ = ["INCH", "LONGEST", "MILLIMETRE", "apart", "follow"]

INCH, MILLIMETRE = 25.4, 1.0
LONGEST = 1.05 * math.pi
"""Longer arcs become two segments of one line."""
_REFUSED = {
    "FROM": "where the cutter stands at the beginning is not for a text to say",
    "GOHOME": "where home lies is not in the text",
    "GODLTA": "places are absolute only",
    "CYCLE": "canned cycles are outside what is read",
    "CUTCOM": "cutter compensation is outside what is read",
    "ORIGIN": "shifts of the zero are outside what is read",
    "TRANS": "shifts of the zero are outside what is read",
    "MULTAX": "axes besides X, Y and Z are outside what is read",
    "ROTABL": "axes besides X, Y and Z are outside what is read",
}


def apart(unit: float) -> float:
    """How far radii of one arc may differ (mm): 0.002 mm, 0.0002 inch. Our own rule: the language has none."""
    return 0.002 if unit == MILLIMETRE else 0.0002 * INCH


def follow(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    """One statement. Raises CannotRead."""
    if state.closed:
        raise s.fault("nothing follows FINI")
    if state.ended and s.word != "FINI":
        raise s.fault("nothing but FINI follows END")
    if state.rapid and s.word != "GOTO":
        raise s.fault("RAPID is followed by its GOTO")
    if state.circle is not None and s.word != "GOTO":
        raise s.fault("CIRCLE is followed by its GOTO")
    if s.word in _REFUSED:
        raise s.fault(_REFUSED[s.word])
    if s.word not in _DONE:
        raise s.fault("this word is outside what is read")
    _DONE[s.word](s, state, sink, traits)
    state.begun = True
    state.remark = s.text if s.word == "PPRINT" else ""


def _unit(s: Statement, state: State) -> float:
    if state.unit is None:
        raise s.fault("a length needs UNITS before it")
    return state.unit


def _partno(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    if state.begun:
        raise s.fault("PARTNO stands first")
    sink.event("name", s.text, s.line)


def _pprint(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    sink.event("comment", s.text, s.line)


def _units(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    unit = MILLIMETRE if s.one_of("MM", "INCHES") == "MM" else INCH
    if unit != state.unit:  # numbers of the other unit mean nothing in this one
        state.feed = state.clear = math.nan
    state.unit = unit
    sink.event("units", "mm" if unit == MILLIMETRE else "inch", s.line)


def _clearp(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    if s.args[:1] != ("XYPLAN",):
        raise s.fault("CLEARP is followed by XYPLAN and a height")
    (height,) = s.numbers(1, "XYPLAN and a height", skip=1)
    state.clear = height * _unit(s, state)


def _retrct(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    s.plain()
    if math.isnan(state.clear):
        raise s.fault("RETRCT needs CLEARP before it")
    if state.here[2] > state.clear + 1e-6:
        raise s.fault("RETRCT withdraws, and the clearance plane lies below the cutter")
    _move(np.array([*state.here[:2], state.clear]), 0.0, 0.0, s, state, sink)


def _rapid(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    s.plain()
    state.rapid = True


def _fedrat(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    if s.args[1:] != ("PERMIN",):
        raise s.fault("FEDRAT is followed by a number and PERMIN")
    feed = Statement(s.line, s.word, s.args[:1]).numbers(1, "a number and PERMIN")[0] * _unit(s, state)
    if feed <= 0:
        raise s.fault("a feed is above 0")
    state.feed = feed


def _goto(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    end = np.array(s.numbers(3, "three numbers: X, Y, Z")) * _unit(s, state)
    rapid, circle = state.rapid, state.circle
    state.rapid, state.circle = False, None
    if not rapid and math.isnan(state.feed):
        raise s.fault("a move needs FEDRAT before it, in the units in force, or RAPID")
    feed = 0.0 if rapid else state.feed
    if circle is None:
        _move(end, 0.0, feed, s, state, sink)
        return
    turn = _turn(s, state.here, end, circle, apart(_unit(s, state)))
    if abs(turn) > LONGEST:
        _move(_halfway(state.here, circle, turn), turn / 2, feed, s, state, sink)
        turn /= 2
    _move(end, turn, feed, s, state, sink)


def _circle(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    x, y, z, i, j, k, r = s.numbers(7, "seven numbers: center, axis, radius")
    if (i, j) != (0, 0) or abs(k) != 1:
        raise s.fault("the axis of a circle is 0,0,1 or 0,0,-1")
    if r <= 0:
        raise s.fault("a radius is above 0")
    u = _unit(s, state)
    state.circle = Circle((x * u, y * u, z * u), k, r * u)


def _spindl(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    if s.args == ("OFF",):
        state.speed = 0.0
        sink.event("spindle", "off", s.line)
        return
    if s.args[1:] not in (("CLW",), ("CCLW",)):
        raise s.fault("SPINDL is followed by OFF, or by a speed and CLW or CCLW")
    (speed,) = Statement(s.line, s.word, s.args[:1]).numbers(1, "OFF, or by a speed and CLW or CCLW")
    if speed <= 0:
        raise s.fault("a speed is above 0")
    state.speed = speed
    sink.event("speed", speed, s.line)
    sink.event("spindle", "clockwise" if s.args[1] == "CLW" else "counterclockwise", s.line)


def _delay(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    (seconds,) = s.numbers(1, "a number of seconds")
    if seconds < 0:
        raise s.fault("a delay is not negative")
    sink.event("dwell", seconds, s.line)


def _coolnt(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    sink.event("coolant", "off" if s.one_of("ON", "OFF", "FLOOD", "MIST") == "OFF" else "on", s.line)


def _loadtl(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    (number,) = s.numbers(1, "a cutter's number")
    if number < 0 or number != int(number):
        raise s.fault("a cutter's number is whole and not negative")
    sink.event("cutter", number, s.line)
    if traits.cutter_change == "automatic":
        state.speed = 0.0
        sink.event("change", number, s.line)


def _cutter(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    (diameter,) = s.numbers(1, "a diameter")
    if diameter * _unit(s, state) <= 0:
        raise s.fault("a diameter is above 0")


def _stop(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    s.plain()
    sink.event("pause" if s.word == "STOP" else "optional_pause", state.remark, s.line)


def _end(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    s.plain()
    state.ended = True
    sink.event("end", "", s.line)


def _fini(s: Statement, state: State, sink: Sink, traits: Traits) -> None:
    s.plain()
    state.closed = True


_DONE: Mapping[str, Callable[[Statement, State, Sink, Traits], None]] = MappingProxyType({
    "PARTNO": _partno, "PPRINT": _pprint, "UNITS": _units, "CLEARP": _clearp, "RETRCT": _retrct, "RAPID": _rapid,
    "FEDRAT": _fedrat, "GOTO": _goto, "CIRCLE": _circle, "SPINDL": _spindl, "DELAY": _delay, "COOLNT": _coolnt,
    "LOADTL": _loadtl, "CUTTER": _cutter, "STOP": _stop, "OPSTOP": _stop, "END": _end, "FINI": _fini,
})  # fmt: skip


def _move(end: Floats, turn: float, feed: float, s: Statement, state: State, sink: Sink) -> None:
    sink.move(end, turn, feed, s.line, state.speed)
    state.here = end


def _turn(s: Statement, here: Floats, end: Floats, circle: Circle, within: float) -> float:
    """Angle of the arc (rad)."""
    if not np.isfinite(here).all():
        raise s.fault("an arc needs a place before it")
    if max(abs(here[2] - circle.center[2]), abs(end[2] - circle.center[2])) > 1e-6:
        raise s.fault("an arc begins and ends at the height of its circle's center")
    if np.abs(end[:2] - here[:2]).max() < 1e-9:
        raise s.fault("an arc ends elsewhere than it begins: a whole circle is two")
    arms = np.array([here[:2], end[:2]]) - circle.center[:2]
    radii = [*np.hypot(*arms.T), circle.radius]
    if max(radii) - min(radii) > within + 1e-9:
        rule = f"an arc's ends lie on its circle: radii {radii[0]:.4f}, {radii[1]:.4f} and {radii[2]:.4f} mm differ"
        raise s.fault(f"{rule} by more than {within:g} mm")
    a, b = np.arctan2(arms[:, 1], arms[:, 0])
    return float(circle.sense * ((circle.sense * (b - a)) % (2 * math.pi)))


def _halfway(here: Floats, circle: Circle, turn: float) -> Floats:
    """Middle of the arc."""
    x, y = here[:2] - circle.center[:2]
    c, s = math.cos(turn / 2), math.sin(turn / 2)
    return np.array([circle.center[0] + c * x - s * y, circle.center[1] + s * x + c * y, here[2]])
