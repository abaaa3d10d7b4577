"""What a dialect declares about its text. A reader gets only this, never the writer."""

from __future__ import annotations

from attrs import frozen

__all__ = ["Traits"]


@frozen(kw_only=True)
class Traits:
    """Traits of a text. `language` names the reader; `units` and `decimals` say how numbers are written.

    What the text must state itself (units, modes, offset), it states: a trait only says what it is to state. A reader
    refuses a trait that its language cannot have.
    """

    language: str
    units: str = "mm"
    """`mm` or `inch`: what the text is to state."""
    decimals: int = 3
    arcs: bool = True
    """Arcs may be said as arcs; else every curve is chords."""
    helices: bool = True
    """An arc may move Z too."""
    arc_centers: str = "incremental"
    """`incremental`: I J from the arc's start, signed · `absolute`: I J are the center's place · `radius`: R, an arc of at
    most half a turn · `unsigned`: I J are distances without sign, where an arc stays in one quadrant."""
    quadrants: str = "multi"
    """`multi`, or `single`: an arc stays in one quadrant of its own circle."""
    dwell_unit: str = "s"
    """`s` or `ms`."""
    dwell_word: str = "P"
    """Letter that carries a dwell's time: P, X or F."""
    cycles: bool = True
    """Canned cycles may occur."""
    cutter_change: str = "separate_programs"
    """`separate_programs`: one cutter a program · `pause`: a stop at which the operator changes it · `automatic`: by M6."""
    block_length: int = 256
    """Most characters in a line."""
    sequence: bool = False
    """Blocks are numbered."""
    comments: str = "parentheses"
    """`parentheses`, `statements` (each a line of its own) or `none`."""
    start: str = ""
    """Line before everything: `%`, or none."""
    end: str = "M2"
    """Program end, `M2` or `M30`: a reader takes both."""
    work_offset: int = 0
    """Number of the work offset that every program states; 0 where the language has none, or leaves it to the operator."""
    compensations: int = 1
    """How many compensations (of radius, of length) the language has, each cancelled by a word of its own."""
    settled: tuple[str, ...] = ()
    """Modes that no text states, for the language has no words for others: `distance`, `plane`, `feed_mode`, `offset`, `path`."""
