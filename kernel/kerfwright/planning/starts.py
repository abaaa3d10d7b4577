"""Where a closed cut starts: at the middle of a long segment, off bridges, where lead and entry find room."""

from __future__ import annotations

import numpy as np

from kerfwright.arrays import Floats, Ints
from kerfwright.curve import Curve
from kerfwright.errors import NoRoom
from kerfwright.planning.held import Held
from kerfwright.planning.run import Run, turned
from kerfwright.program import Role
from kerfwright.room import Room
from kerfwright.strategy import Entry, Lead

__all__ = ["TRIES", "begun", "between", "candidates", "led", "opened"]

TRIES = 12
"""Starts offered before others are, and as many others before a cut is refused."""
NONE = np.zeros(0)


def candidates(cut: Curve, held: Held, radius: float, flank: float = 0.0) -> Floats:
    """Lengths on a closed cut: middles of its longest segments, lines before arcs; off bridges first (same frame)."""
    weight = np.round(cut.lengths * np.where(cut.turns == 0, 2, 1), 6)
    order = np.argsort(-weight, kind="stable")[:TRIES]
    s = (cut.s[:-1] + cut.lengths / 2)[order]
    if not len(held):
        return s
    clear = held.gap(cut.at(s)[0][:, :2]).min(1) - radius - flank
    off = clear > 0
    if not off.any():  # a bridge lies on every middle: beside them, then
        s = np.linspace(0, cut.length, 16 * TRIES, endpoint=False)
        clear = held.gap(cut.at(s)[0][:, :2]).min(1) - radius - flank
        best = np.argsort(-np.round(clear, 6), kind="stable")[:TRIES]
        return s[best]
    return np.concatenate([s[off], s[~off][np.argsort(-np.round(clear[~off], 6), kind="stable")]])


def between(cut: Curve, held: Held, radius: float, flank: float = 0.0) -> Floats:
    """Lengths spread evenly over a closed cut, off bridges (same frame): for where none of the `candidates` will do, as on
    an outline of many short segments, whose longest may all lie in one place.
    """
    s = (np.arange(4 * TRIES) + 0.5) * cut.length / (4 * TRIES)
    if len(held):
        s = s[held.gap(cut.at(s)[0][:, :2]).min(1) > radius + flank]
    return s[:: max(1, -(-len(s) // TRIES))]


def led(cut: Curve, waste: Ints, roles: Ints, room: Room, lead: Lead) -> tuple[Curve, Ints, Ints, tuple[str, ...]]:
    """A cut with its way in and out, waste, roles; and what is to be told where there is no room for such a way."""
    try:
        go, out = lead(cut, room)
    except NoRoom as e:
        return cut, waste, roles, (f"no lead, the cut begins and ends on the wall: {e}",)
    if not len(go) and not len(out):
        return cut, waste, roles, ()
    full = Curve.join([go, cut, out])
    none = [np.zeros(len(go), np.int64), np.zeros(len(out), np.int64)]
    return (
        full,
        np.concatenate([none[0], waste, none[1]]),
        np.concatenate([none[0] + Role.APPROACH, roles, none[1] + Role.LIFT]),
        (),
    )


def begun(
    cut: Curve,
    waste: Ints,
    starts: Floats,
    room: Room,
    lead: Lead,
    heights: tuple[float, float],
    entry: Entry,
    spare: Floats = NONE,
) -> Run:
    """The run of a closed cut from the first start where the lead fits and the entry finds room between two `heights`.

    Where the entry finds none at the far end of any lead, the cut goes without, and that is told. Only where no start will
    do are the `spare` ones tried. Raises NoRoom with the last reason where none of them will either.
    """
    why: NoRoom | None = None
    for some in (starts, spare):
        tries: list[_Try] = []
        for s in some.tolist():
            c, (w,) = turned(cut, s, waste)
            tries += _tries(c, w, np.full(len(c), Role.CONTACT), room, lead)
        try:
            return _first(tries, room, heights, entry)
        except NoRoom as e:
            why = why or e
    assert why is not None
    raise why


def opened(
    cut: Curve, waste: Ints, roles: Ints, room: Room, lead: Lead, heights: tuple[float, float], entry: Entry
) -> Run:
    """The run of a cut that begins where it begins, without lead where the entry finds room only so. Raises NoRoom."""
    return _first(_tries(cut, waste, roles, room, lead), room, heights, entry)


_Try = tuple[int, Curve, Ints, Ints, tuple[str, ...]]
"""How good it is (0 with a lead), the cut with its lead, waste, roles, and what is to be told."""


def _tries(cut: Curve, waste: Ints, roles: Ints, room: Room, lead: Lead) -> list[_Try]:
    full, w, r, alone = led(cut, waste, roles, room, lead)
    if len(full) == len(cut):
        return [(1, full, w, r, alone)]
    bare = "no lead, the cut begins and ends on the wall: the entry finds no room beside it"
    return [(0, full, w, r, alone), (2, cut, waste, roles, (bare,))]


def _first(tries: list[_Try], room: Room, heights: tuple[float, float], entry: Entry) -> Run:
    why: NoRoom | None = None
    for _, full, waste, roles, alone in sorted(tries, key=lambda t: t[0]):
        try:
            way, _at = entry(full, *heights, room)
        except NoRoom as e:
            why = e
            continue
        return Run(full, roles, waste, room, way, entry, alone)
    raise why or NoRoom("the cut has no place to start")
