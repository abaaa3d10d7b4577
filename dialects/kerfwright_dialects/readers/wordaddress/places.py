"""Where the axis words of a block lead."""

from __future__ import annotations

import math

from kerfwright.arrays import Floats
from kerfwright_dialects.readers.wordaddress.codes import Codes
from kerfwright_dialects.readers.wordaddress.state import State
from kerfwright_dialects.readers.wordaddress.words import AXES

__all__ = ["target"]


def target(said: Codes, state: State, unit: float) -> Floats:
    """Where X, Y and Z lead; an axis without a word stays."""
    end = state.here.copy()
    for k, axis in enumerate(AXES):
        value = said.value(axis)
        if value is None:
            continue
        if state.incremental and math.isnan(end[k]):
            raise said.fault(axis, f"an increment from an unknown {axis}")
        end[k] = value * unit + (end[k] if state.incremental else 0.0)
    return end
