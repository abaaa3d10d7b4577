"""Which cutter makes the walls of each outline of a piece, and on which side."""

from __future__ import annotations

from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.operation import Drill, Pocket, Profile
from kerfwright.setup import Piece, Setup, Work

__all__ = ["Made", "made"]


@frozen
class Made:
    """Of one outline: the cutter of its last wall, the side on which material goes, and how deep (mm; None: through)."""

    cutter: Cutter
    waste: str
    depth: float | None


def made(setup: Setup, piece: Piece) -> dict[int, Made]:
    """By the index of the outline. Without those that keep an allowance at the side, or are followed on their line."""
    out: dict[int, Made] = {}
    for work in setup.works:
        o = work.operation
        if not isinstance(o, Profile | Pocket | Drill) or o.allowance.side:
            continue
        mine = {k for p, k in work.loops if p == piece.index}
        for k in sorted(mine):
            waste = _waste(work, piece, k, mine)
            if waste != "line":
                out[k] = Made(o.cutter, waste, o.depth)
    return out


def _waste(work: Work, piece: Piece, loop: int, chosen: set[int]) -> str:
    """A pocket takes the even-odd area of its outlines."""
    if isinstance(work.operation, Profile):
        return work.waste(piece.loops[loop])
    around, at = 0, piece.loops[loop].parent
    while at >= 0:
        around, at = around + (at in chosen), piece.loops[at].parent
    return "outside" if around % 2 else "inside"
