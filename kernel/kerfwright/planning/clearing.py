"""Areas that an operation beyond the core wants cleared, as pockets without walls."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kerfwright.planning.context import Context
from kerfwright.planning.faults import told
from kerfwright.planning.pocketing import Clearing, Pocketed
from kerfwright.room import Room, mirror
from kerfwright.strategy import Cover
from kerfwright.way import Clear

__all__ = ["cleared"]


def cleared(context: Context, areas: Sequence[tuple[Clear, int]]) -> Pocketed:
    """Ways of areas, each with the index of its piece. Raises InputError where a cover finds no room."""
    out = []
    for one, piece in areas:
        row = context.nest.row((piece, one.loop))
        region = mirror(one.area) if context.flip else one.area
        with told(context.setup, context.work, "cover", context.nest.label(row)):
            curves = context.of(Cover)(region, context.radius, context.advance)
        room = Room(region, radius=context.radius)
        out.append(Clearing(tuple(curves), (), room, (row,), np.zeros((1, 2)), (), None))
    heard = tuple(dict.fromkeys(text for one, _ in areas for text in one.told))
    return Pocketed(context, context.operation, tuple(out), heard)
