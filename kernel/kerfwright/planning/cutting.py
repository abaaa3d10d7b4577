"""Blocks of an operation to its one motion."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.planning.context import Context
from kerfwright.planning.held import Held
from kerfwright.planning.routing import routed
from kerfwright.planning.run import Block
from kerfwright.planning.tracing import traced
from kerfwright.program import Motion

__all__ = ["cut"]


def cut(context: Context, blocks: Sequence[Block], held: Held, here: Floats | None) -> Motion:
    """All blocks, from where the cutter stands (3,); None: nobody knows, and the way begins over the first cut."""
    start = np.zeros(2) if here is None else here[:2]
    return traced(context, routed(context, blocks, start), held, here)
