"""Bridges as they were declared, brought from the drawing to where a copy lies."""

from __future__ import annotations

import math

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.errors import NoRoom
from kerfwright.planning.context import Context
from kerfwright.planning.faults import refused
from kerfwright.strategy import Bridges

__all__ = ["declared", "here"]


def declared(context: Context, row: int) -> Bridges | None:
    """The bridges that this operation places on a loop, None for none. Their places count from the loop's first node, so
    that copies have equal ones. Raises InputError where those are not on the outline.
    """
    if row not in context.bridged:
        return None
    setup, nest = context.setup, context.nest
    piece = setup.pieces[nest.pieces[row]]
    k = row - nest.first[nest.position[piece.index]]
    said = context.work.bridges.get((piece.index, k))
    if said is None or type(said).drawn is Bridges.drawn:
        return said
    drawn = [one.curve for one in next(p for p in setup.job.parts if p.name == piece.part).drawing.loops]
    others = [drawn[i] for (p, i), b in context.work.bridges.items() if p == piece.index and b == said]
    try:
        one = said.drawn(drawn[k], others)
    except NoRoom as e:
        raise refused(setup, context.work, f"{nest.label(row)}: {e}", "bridges") from e
    start, turn = drawn[k].start[:2], math.radians(piece.turn)
    c, s = math.cos(turn), math.sin(turn)
    return one.placed(lambda p: np.round((p - start) @ np.array([[c, s], [-s, c]]), 6))


def here(context: Context, bridges: Bridges, row: int) -> Bridges:
    """The same in the climb frame, where the loop of a row lies."""
    start: Floats = context.nest.loops[row].curve.start[:2]
    return bridges.placed(lambda p: (p + start) * context.sign)
