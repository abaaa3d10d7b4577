"""One motion: straight or arc; or a canned cycle, from where the cutter stands."""

from __future__ import annotations

import math

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.traits import Traits
from kerfwright_dialects.readers.rs274ngc.arcs import LIMIT, by_center, by_radius, pieces
from kerfwright_dialects.readers.rs274ngc.codes import Codes
from kerfwright_dialects.readers.rs274ngc.drilling import cycle
from kerfwright_dialects.readers.rs274ngc.places import target
from kerfwright_dialects.readers.rs274ngc.sink import Sink
from kerfwright_dialects.readers.rs274ngc.state import State
from kerfwright_dialects.readers.rs274ngc.words import AXES

__all__ = ["move"]


def move(code: str, said: Codes, state: State, sink: Sink, traits: Traits) -> None:
    """Make the motion `code` with the words of a block."""
    axis = next(a for a in said.words if a in AXES)
    if state.unit is None:
        raise said.fault(axis, "a length needs G20 or G21 before it")
    if state.incremental is None:
        raise said.fault(axis, "an axis word needs G90 or G91 before it")
    if code != "G0" and not state.feed > 0:
        word = "F" if "F" in said.words else code
        raise said.fault(word, state.no_feed if math.isnan(state.feed) else "a feed motion needs a feed above 0")
    if code in ("G0", "G1"):
        state.here = target(said, state, state.unit)
        sink.move(state.here, 0.0, 0.0 if code == "G0" else state.feed, said.line, state.spindle)
        return
    if not state.plane:
        raise said.fault(code, "an arc or a cycle needs G17 before it")
    if code in ("G2", "G3"):
        _arc(code, said, state, sink, traits, state.unit)
    else:
        cycle(code, said, state, sink, state.unit)


def _arc(code: str, said: Codes, state: State, sink: Sink, traits: Traits, unit: float) -> None:
    words, limit = said.words, LIMIT[unit]
    if not traits.arcs:
        raise said.fault(code, "this dialect has no arcs")
    if "X" not in words and "Y" not in words:
        raise said.fault(code, "an arc needs X or Y")
    if np.isnan(state.here).any():
        raise said.fault(code, "an arc from an unknown place")
    end = target(said, state, unit)
    p, q, sign = state.here[None], end[None], np.array([1.0 if code == "G3" else -1.0])
    if "R" in words:
        if "I" in words or "J" in words:
            raise said.fault("R", "an arc has a center or a radius, not both")
        turn, center = _radius_form(said, p, q, sign, limit, unit)
    elif "I" in words or "J" in words:
        center = p[:, :2] + np.array([[said.value("I") or 0.0, said.value("J") or 0.0]]) * unit
        turn, uneven, vague = by_center(p[:, :2], q[:, :2], center, sign, limit)
        word = " ".join(words[letter].said for letter in "IJ" if letter in words)
        if uneven.any():
            r0, r1 = (float(np.hypot(*(v - center)[0])) for v in (p[:, :2], q[:, :2]))
            raise said.fault(
                word,
                f"an arc's center lies equally far from both ends within {limit:g} mm, this one {r0:.4f} and {r1:.4f} mm",
            )
        if vague.any():
            raise said.fault(word, "an arc has a radius, and ends in two directions from its center or in one point")
    else:
        raise said.fault(code, "an arc needs I, J or R")
    ends, turns, _ = pieces(p, q, center, turn)
    for node, angle in zip(ends, turns.tolist(), strict=True):
        sink.move(node, angle, state.feed, said.line, state.spindle)
    state.here = end


def _radius_form(said: Codes, p: Floats, q: Floats, sign: Floats, limit: float, unit: float) -> tuple[Floats, Floats]:
    radius = (said.value("R") or 0.0) * unit
    if np.hypot(*(q - p)[0, :2]) < 1e-6:
        raise said.fault("R", "an arc given by its radius must end elsewhere than it starts")
    turn, center, short = by_radius(p[:, :2], q[:, :2], np.array([radius]), sign, limit)
    if radius == 0 or short.any():
        raise said.fault("R", "the radius is too small to reach the end of the arc")
    return turn, center
