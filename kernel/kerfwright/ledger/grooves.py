"""What programs cut into the board under the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely

from kerfwright.curve import Curve
from kerfwright.finding import Finding
from kerfwright.ledger.values import Groove, Ledger
from kerfwright.result import ProgramText
from kerfwright.setup import Setup
from kerfwright.sweep import swept

__all__ = ["BOARD_LEFT", "grooved", "merged", "support"]

FINE = 0.1
"""Grooves are kept to this (mm), in plan and in depth, deeper rather than shallower."""

LEAST = 0.5
"""Smaller patches (mm2) come from rounding."""
BOARD_LEFT = 1.0
"""Of the board this much stays under the deepest cut (mm; our choice)."""


def grooved(setup: Setup, programs: Iterable[ProgramText]) -> tuple[Groove, ...]:
    """Of one sheet, in its own coordinates; a full cylinder of each cutter down to its tip, a drill's point
    counted with its whole width."""
    face = setup.heights.floor + setup.job.sheet.breakthrough
    x0, y0, _, _ = setup.stock.bounds
    found: list[Groove] = []
    for p in programs:
        for cutter in p.cutters:
            assert p.moves is not None
            c = p.moves.curve
            z = np.minimum(c.nodes[:-1, 2], c.nodes[1:, 2])
            deep = np.where(p.made_with(cutter) & (p.moves.feeds > 0), np.ceil((face - z) / FINE - 1e-6), 0)
            for level in sorted({int(v) for v in deep[deep > 0]}):
                area = swept(_runs(c, np.flatnonzero(deep == level).tolist()), cutter.radius, FINE / 2)
                found.append(
                    Groove(depth=round(level * FINE, 1), area=_kept(shapely.transform(area, lambda xy: xy - (x0, y0))))
                )
    return merged(found)


def _runs(c: Curve, moves: Sequence[int]) -> list[Curve]:
    """The curves that moves in a row make."""
    gaps = np.flatnonzero(np.diff(moves) != 1) + 1
    return [Curve(c.nodes[run[0] : run[-1] + 2], c.turns[run[0] : run[-1] + 1]) for run in np.split(moves, gaps)]


def _kept(area: shapely.Geometry) -> shapely.Geometry:
    return shapely.set_precision(shapely.simplify(area, FINE / 2), FINE)


def merged(grooves: Iterable[Groove]) -> tuple[Groove, ...]:
    """One groove a depth, what lies in a deeper one left out, the shallowest first."""
    areas: dict[float, list[shapely.Geometry]] = {}
    for g in grooves:
        areas.setdefault(g.depth, []).append(g.area)
    out: list[Groove] = []
    deeper: shapely.Geometry = shapely.Polygon()
    for depth in sorted(areas, reverse=True):
        area = _polygons(_kept(shapely.difference(shapely.union_all(areas[depth]), deeper)))
        if not shapely.is_empty(area):
            out.append(Groove(depth=depth, area=area))
            deeper = shapely.union(deeper, area)
    return tuple(reversed(out))


def _polygons(area: shapely.Geometry) -> shapely.Geometry:
    parts = [p for p in shapely.get_parts(area, return_index=False) if p.geom_type == "Polygon" and p.area > LEAST]
    return shapely.MultiPolygon(parts)


def support(setups: Sequence[Setup], ledger: Ledger | None) -> Iterator[Finding]:
    """How much of the board under each sheet is grooved already: there a piece bends, and vacuum leaks."""
    board = ledger.board(setups[0].job.machine) if ledger else None
    for setup in setups if board else ():
        assert board is not None
        x0, y0, _, _ = setup.stock.bounds
        sheet = shapely.transform(setup.stock, lambda xy, by=(x0, y0): xy - by)
        here = [g for g in board.grooves if shapely.intersects(g.area, sheet)]
        gone = shapely.area(shapely.intersection(shapely.union_all([g.area for g in here]), sheet))
        if not gone:
            continue
        deepest, thick = max(g.depth for g in here), setup.job.sheet.board
        part = 100 * gone / shapely.area(sheet)
        text = f"the board under sheet {setup.number} is grooved over {part:.1f} %, {deepest:g} mm deep"
        through = thick and deepest >= thick - BOARD_LEFT
        if through:
            text += f", and less than {BOARD_LEFT:g} mm of its {thick:g} mm are left there"
        yield Finding("board", "warning" if through else "note", text, remedy="turn, plane or change the board")
