"""A canned cycle at one place: its numbers, some of which hold on from block to block, and its moves."""

from __future__ import annotations

import math

import numpy as np

from kerfwright.arrays import Floats
from kerfwright_dialects.readers.sink import Sink
from kerfwright_dialects.readers.wordaddress.codes import Codes
from kerfwright_dialects.readers.wordaddress.cycles import MOST_PECKS, pecks, strokes
from kerfwright_dialects.readers.wordaddress.places import target
from kerfwright_dialects.readers.wordaddress.state import State

__all__ = ["cycle"]

NUMBERS = {"G81": "RZ", "G82": "RZP", "G83": "RZQ"}
"""What each cycle needs, in its first block at least."""


def cycle(code: str, said: Codes, state: State, sink: Sink, unit: float) -> None:
    """Drill where a block says, or where the cutter stands."""
    _numbers(code, said, state)
    if (times := said.value("L")) is not None and times != 1:
        raise said.fault("L", "repeats of a cycle are outside what is read")
    if not state.return_level:
        raise said.fault(code, "a cycle needs G98 or G99 before it")
    across = target(said, state, unit)[:2]
    z0 = float(state.here[2])
    if np.isnan(across).any() or math.isnan(z0):
        raise said.fault(code, "a cycle from an unknown place")
    if state.incremental and "R" not in said.words and z0 != state.cycle_from:
        rule = "in a row of incremental cycles under G99 R must be given again: where it counts from has two meanings"
        raise said.fault(code, rule)
    r = state.sticky["R"] * unit + (z0 if state.incremental else 0.0)
    bottom = state.sticky["Z"] * unit + (r if state.incremental else 0.0)
    q = state.sticky.get("Q", 0.0) * unit
    if r < bottom:
        raise said.fault("R" if "R" in said.words else code, "a cycle needs R not below Z")
    if code == "G83" and pecks(r, bottom, q) > MOST_PECKS:
        raise said.fault("Q" if "Q" in said.words else code, f"more than {MOST_PECKS} pecks in one hole are refused")
    clear = _clear(code, said, state, r)
    _go(said, state, sink, r, across)
    for stroke in strokes(code, r, bottom, clear, state.sticky.get("P", 0.0), q):
        state.here = np.array([across[0], across[1], stroke.z])
        sink.move(state.here, 0.0, 0.0 if stroke.rapid else state.feed, said.line, state.spindle)
        if stroke.dwell:
            sink.event("dwell", stroke.dwell, said.line)


def _numbers(code: str, said: Codes, state: State) -> None:
    for letter in NUMBERS[code]:
        value = said.value(letter)
        if value is not None:
            state.sticky[letter] = value
        elif letter not in state.sticky:
            raise said.fault(code, f"this cycle needs {letter}")
    if state.sticky.get("P", 0.0) < 0:
        raise said.fault("P", "a dwell is not negative")
    if code == "G83" and state.sticky["Q"] <= 0:
        raise said.fault("Q", "G83 needs Q above 0")


def _clear(code: str, said: Codes, state: State, r: float) -> float:
    """Height to return to."""
    z0 = float(state.here[2])
    if math.isnan(state.cycle_from):
        state.cycle_from = z0
    if state.return_level == "G99":
        return r
    if max(r, z0) != max(r, state.cycle_from):
        raise said.fault(code, "G98 after G99 in a row of cycles: which height to return to has two meanings")
    return max(r, z0)


def _go(said: Codes, state: State, sink: Sink, r: float, across: Floats) -> None:
    """By rapid: up to R if below it, across, down to R; each only where there is a way to go."""
    x, y, z = state.here.tolist()
    ways = [(x, y, max(z, r)), (float(across[0]), float(across[1]), max(z, r)), (float(across[0]), float(across[1]), r)]
    for way in ways:
        if way != tuple(state.here.tolist()):
            state.here = np.array(way)
            sink.move(state.here, 0.0, 0.0, said.line, state.spindle)
