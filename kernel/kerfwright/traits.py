"""What a dialect declares about its text. A reader gets only this, never the writer."""

from __future__ import annotations

from attrs import frozen

__all__ = ["Traits"]


@frozen(kw_only=True)
class Traits:
    """Traits of a word-address text. `language` names the reader; `units` and `decimals` say how numbers are written."""

    language: str
    units: str = "mm"
    decimals: int = 3
    arcs: bool = True
    """Arcs may be said as arcs; else every curve is chords."""
    arc_centers: str = "incremental"
    dwell_unit: str = "s"
    block_length: int = 256
    """Most characters in a line."""
    work_offset: int = 0
    """Number of the work offset that every program states; 0 where the language has none, or leaves it to the operator."""
    compensations: int = 1
    """How many compensations (of radius, of length) the language has, each cancelled by a word of its own."""
