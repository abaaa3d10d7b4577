"""One motion: straight or arc; or a canned cycle, from where the cutter stands."""

from __future__ import annotations

import math

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.traits import Traits
from kerfwright_dialects.readers.sink import Sink
from kerfwright_dialects.readers.wordaddress.arcs import LIMIT, by_radius, centers_of, pieces
from kerfwright_dialects.readers.wordaddress.codes import Codes
from kerfwright_dialects.readers.wordaddress.drilling import cycle
from kerfwright_dialects.readers.wordaddress.grammar import Grammar
from kerfwright_dialects.readers.wordaddress.places import target
from kerfwright_dialects.readers.wordaddress.state import State
from kerfwright_dialects.readers.wordaddress.words import AXES

__all__ = ["move"]


def move(code: str, said: Codes, state: State, sink: Sink, traits: Traits, grammar: Grammar) -> None:
    """Make the motion `code` with the words of a block."""
    axis = next(a for a in said.words if a in AXES)
    if state.unit is None:
        raise said.fault(axis, f"a length needs {grammar.units} before it")
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
        _arc(code, said, state, sink, traits, grammar)
    else:
        cycle(code, said, state, sink, state.unit)


def _arc(code: str, said: Codes, state: State, sink: Sink, traits: Traits, grammar: Grammar) -> None:
    unit = state.unit or 1.0
    words, limit = said.words, LIMIT[unit]
    _may(code, said, state, traits, grammar)
    end = target(said, state, unit)
    p, q, sign = state.here[None], end[None], np.array([1.0 if code == "G3" else -1.0])
    if "R" in words:
        if "I" in words or "J" in words:
            raise said.fault("R", "an arc has a center or a radius, not both")
        turn, center = _radius_form(said, p, q, sign, limit, unit)
    elif "I" in words or "J" in words:
        given = np.array([[said.value("I") or 0.0, said.value("J") or 0.0]]) * unit
        turn, center, uneven, vague = centers_of(p[:, :2], q[:, :2], given, sign, limit, traits)
        word = " ".join(words[letter].said for letter in "IJ" if letter in words)
        if traits.quadrants == "single" and (uneven.any() or vague.any()):
            rule = "I and J have no sign, and lead to one center about which the arc stays in one quadrant"
            raise said.fault(word, rule)
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


def _may(code: str, said: Codes, state: State, traits: Traits, grammar: Grammar) -> None:
    """What the language and the dialect allow an arc to say."""
    words = said.words
    if not traits.arcs:
        raise said.fault(code, "this dialect has no arcs")
    if "X" not in words and "Y" not in words:
        raise said.fault(code, "an arc needs X or Y")
    if np.isnan(state.here).any():
        raise said.fault(code, "an arc from an unknown place")
    if grammar.quadrants and not state.quadrants:
        raise said.fault(code, "an arc needs G74 or G75 before it")
    if not traits.helices and "Z" in words:
        raise said.fault("Z", "an arc of this dialect moves X and Y alone")
    if not grammar.either and ("R" in words) != (traits.arc_centers == "radius"):
        form = "a radius R" if traits.arc_centers == "radius" else "its center in I and J"
        raise said.fault(code, f"an arc of this dialect has {form}")
    if traits.arc_centers == "absolute" and ("I" in words) != ("J" in words):
        raise said.fault(code, "the place of an arc's center needs I and J")


def _radius_form(said: Codes, p: Floats, q: Floats, sign: Floats, limit: float, unit: float) -> tuple[Floats, Floats]:
    radius = (said.value("R") or 0.0) * unit
    if np.hypot(*(q - p)[0, :2]) < 1e-6:
        raise said.fault("R", "an arc given by its radius must end elsewhere than it starts")
    turn, center, short = by_radius(p[:, :2], q[:, :2], np.array([radius]), sign, limit)
    if radius == 0 or short.any():
        raise said.fault("R", "the radius is too small to reach the end of the arc")
    return turn, center
