"""The order of blocks: what lies inside a loop before that loop, at any depth; the rest is the route's."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kerfwright.arrays import Floats, Ints
from kerfwright.planning.context import Context
from kerfwright.planning.faults import told
from kerfwright.planning.run import Block
from kerfwright.strategy import Route

__all__ = ["routed"]


def routed(context: Context, blocks: Sequence[Block], here: Floats) -> list[Block]:
    """Blocks in the order they are cut, from where the cutter stands (2,), program frame."""
    starts = np.array([b.runs[0].curve.start[:2] + b.by for b in blocks]) * context.sign
    ends = np.array([b.runs[-1].curve.end[:2] + b.by for b in blocks]) * context.sign
    with told(context.setup, context.work, "route", "the order of the cuts"):
        order = context.of(Route)(starts, ends, _before(context, blocks), here)
    return [blocks[k] for k in order]


def _before(context: Context, blocks: Sequence[Block]) -> Ints:
    """Rows (a, b): a first. Next to each block only its nearest loop around that is cut too: the rest follows."""
    of: dict[int, list[int]] = {}
    for k, b in enumerate(blocks):
        of.setdefault(b.row, []).append(k)
    pairs = []
    for k, b in enumerate(blocks):
        pairs += [(k, other) for other in of[b.row] if blocks[other].level > b.level]
        around = next((row for row in context.nest.around(b.row) if row in of), None)
        if around is not None:
            pairs += [(k, other) for other in of[around]]
    return np.array(pairs, np.int64).reshape(-1, 2)
