"""Canned cycles G81, G82, G83 in the XY plane, as the strokes they stand for (from memory)."""

from __future__ import annotations

import math
from collections.abc import Iterator

from attrs import frozen

__all__ = ["MOST_PECKS", "Stroke", "pecks", "strokes"]

BACK_OFF = 0.254
"""mm: G83 comes back to the bottom so far, "backed off a bit"; the document's own interpreter takes 0.010 inch (from memory)."""
MOST_PECKS = 1000
"""More pecks in one hole than this are refused."""


@frozen
class Stroke:
    """Straight to height `z` (mm), by rapid or by feed, then wait `dwell` (s)."""

    z: float
    rapid: bool
    dwell: float = 0.0


def pecks(r: float, bottom: float, q: float) -> float:
    """How many times G83 goes down."""
    return max(1.0, math.ceil((r - bottom) / q - 1e-9))


def strokes(code: str, r: float, bottom: float, clear: float, dwell: float, q: float) -> Iterator[Stroke]:
    """From R, above the hole, to the clear height (mm). `dwell` is 0 but for G82; `q` is for G83."""
    if code == "G83":
        for k in range(1, int(pecks(r, bottom, q))):
            yield Stroke(r - k * q, rapid=False)
            yield Stroke(r, rapid=True)
            if (back := r - k * q + BACK_OFF) < r:
                yield Stroke(back, rapid=True)
    yield Stroke(bottom, rapid=False, dwell=dwell)
    yield Stroke(clear, rapid=True)
