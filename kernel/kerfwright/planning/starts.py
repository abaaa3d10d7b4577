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

__all__ = ["TRIES", "begun", "candidates", "led", "opened"]

TRIES = 12
"""Starts offered before a cut is refused."""


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
) -> Run:
    """The run of a closed cut from the first start where the lead fits and the entry finds room between two `heights`.

    Raises NoRoom with the last reason where no start will do.
    """
    tries = []
    for s in starts.tolist():
        c, (w,) = turned(cut, s, waste)
        tries.append(led(c, w, np.full(len(c), Role.CONTACT), room, lead))
    why: NoRoom | None = None
    for full, w, roles, alone in sorted(tries, key=lambda t: bool((t[2] == Role.CONTACT).all())):
        try:
            way, _at = entry(full, *heights, room)
        except NoRoom as e:
            why = e
            continue
        return Run(full, roles, w, room, way, entry, alone)
    raise why or NoRoom("the cut has no place to start")


def opened(cut: Curve, waste: Ints, roles: Ints, room: Room, heights: tuple[float, float], entry: Entry) -> Run:
    """The run of a cut that begins where it begins. Raises NoRoom where the entry finds none there."""
    way, _at = entry(cut, *heights, room)
    return Run(cut, roles, waste, room, way, entry)
