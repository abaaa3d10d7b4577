"""What one run of a job uses up: sheets, machine time, metres of each cutter; and the pieces that come of it."""

from __future__ import annotations

from attrs import frozen

from kerfwright.cutter import Cutter
from kerfwright.placing.laying import MARGIN
from kerfwright.result import Result
from kerfwright.setup import Piece, Setup

__all__ = ["Consumption", "Pieces", "Wear", "consumed", "piece_area", "used_length"]


@frozen
class Pieces:
    """Copies of one part in a run, and the area of all of them together (mm2)."""

    name: str
    count: int
    area: float


@frozen
class Wear:
    """Metres that a run cuts with one cutter; `life` (m) and `price` None where the job does not say them."""

    cutter: str
    metres: float
    life: float | None = None
    price: float | None = None


@frozen
class Consumption:
    """Of one run. `used` is the part of the sheets' length that is taken up, in sheets; areas in mm2, `used_area` of that part."""

    parts: tuple[Pieces, ...]
    sheets: int
    used: float
    sheet_area: float
    used_area: float
    time_s: float
    wear: tuple[Wear, ...] = ()

    @property
    def pieces(self) -> int:
        """Of all parts."""
        return sum(p.count for p in self.parts)

    @property
    def units(self) -> int:
        """What a quantity counts, in a run: pieces where there is one part, else the run is one set."""
        return self.pieces if len(self.parts) == 1 else 1


def consumed(result: Result) -> Consumption:
    """From what was made: times and lengths are those of the programs' texts."""
    parts: dict[str, list[float]] = {}
    for setup in result.setups:
        for piece in setup.pieces:
            parts.setdefault(piece.part, []).append(piece_area(setup, piece))
    sizes = [_size(s) for s in result.setups]
    lengths = [used_length(s) for s in result.setups]
    return Consumption(
        parts=tuple(Pieces(name, len(areas), sum(areas)) for name, areas in parts.items()),
        sheets=len(result.setups),
        used=sum(u / x for u, (x, _) in zip(lengths, sizes, strict=True)),
        sheet_area=sum(x * y for x, y in sizes),
        used_area=sum(u * y for u, (_, y) in zip(lengths, sizes, strict=True)),
        time_s=sum(p.time_s for p in result.programs),
        wear=tuple(_wear(result.job.cutters[c.name], c.cut_length_mm) for c in result.cutters if c.cut_length_mm > 0),
    )


def _wear(cutter: Cutter, cut_length_mm: float) -> Wear:
    return Wear(cutter.name, cut_length_mm / 1000, cutter.life, cutter.price)


def _size(setup: Setup) -> tuple[float, float]:
    x0, y0, x1, y1 = setup.stock.bounds
    return x1 - x0, y1 - y0


def used_length(setup: Setup) -> float:
    """From the sheet's left edge to the far side of the last kerf, and the margin that a hold needs there (mm)."""
    x0, _, x1, _ = setup.stock.bounds
    far = max((one.curve.bounds[2] for p in setup.pieces for one in p.loops), default=x0)
    kerf = max((w.operation.cutter.cuts for w in setup.works), default=0.0)
    return float(min(x1, far + kerf + MARGIN) - x0)


def piece_area(setup: Setup, piece: Piece) -> float:
    """Plan area of a piece (mm2), exact for arcs: inside its outer outlines, less what goes through. A recess is no hole."""
    through = {loop for w in setup.works if w.operation.pierces for p, loop in w.loops if p == piece.index}
    counted = [one.depth == 0 or k in through for k, one in enumerate(piece.loops)]
    total = 0.0
    for k, one in enumerate(piece.loops):
        if counted[k]:
            above, inside = one.parent, False
            while above >= 0:
                inside ^= counted[above]
                above = piece.loops[above].parent
            total += -abs(one.curve.signed_area) if inside else abs(one.curve.signed_area)
    return total
