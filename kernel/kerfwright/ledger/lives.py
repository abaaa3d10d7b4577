"""How much of each cutter's life a job uses, with what a ledger says was used before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from kerfwright.arrays import Floats
from kerfwright.cutter import Cutter
from kerfwright.finding import Finding
from kerfwright.ledger.flute import added, bands, busy, worst
from kerfwright.ledger.values import Ledger
from kerfwright.result import CutterUse, ProgramText
from kerfwright.setup import Setup

__all__ = ["outlived", "uses", "what_is_left"]

Cuts = tuple[ProgramText, Floats, Floats]


def _cuts(cutter: Cutter, setups: Sequence[Setup], programs: Sequence[ProgramText]) -> Iterator[Cuts]:
    """Programs that a cutter cuts in, with metres and flute of each move."""
    faces = {s.number: (s.heights.floor + s.job.sheet.breakthrough, s.heights.highest) for s in setups}
    for p in programs:
        if p.kind == "program" and cutter in p.cutters:
            assert p.moves is not None
            yield p, *bands(p.moves, p.made_with(cutter).tolist(), *faces[p.sheet])


def uses(
    setups: Sequence[Setup], programs: Sequence[ProgramText], ledger: Ledger | None = None
) -> tuple[CutterUse, ...]:
    """Of each cutter that a job's programs name. Life is judged where its flute does most of this job."""
    ledger = ledger or Ledger()
    named = {c.name for p in programs for c in p.cutters}
    out = []
    for cutter in setups[0].job.cutters.values():
        if cutter.name not in named:
            continue
        entry, cuts = ledger.cutter(cutter), [*_cuts(cutter, setups, programs)]
        flute = entry.flute if entry else ()
        metres = np.concatenate([np.zeros(0), *[m for _, m, _ in cuts]])
        heights = np.concatenate([np.zeros((0, 2)), *[h for _, _, h in cuts]])
        after, total = added(flute, metres, heights), float(metres.sum())
        used = max((worst(after, f.low, f.high) for f in busy(added((), metres, heights))), default=0.0)
        life = cutter.life
        out.append(
            CutterUse(
                cutter.name,
                total * 1000,
                None if life is None else used / life,
                None if life is None else life - used,
                (entry.cut if entry else 0.0) + total,
                after,
            )
        )
    return tuple(out)


def outlived(
    cutters: Sequence[CutterUse], setups: Sequence[Setup], programs: Sequence[ProgramText], ledger: Ledger | None
) -> Iterator[Finding]:
    """Where in the programs a cutter reaches the end of its life."""
    for use in cutters:
        cutter = setups[0].job.cutters[use.name]
        if cutter.life is None or use.left_m is None or use.left_m >= -1e-9:
            continue
        cuts = [*_cuts(cutter, setups, programs)]
        middle = _worn_most(use, cuts)
        entry = (ledger or Ledger()).cutter(cutter)
        before = worst(added(entry.flute, np.zeros(0), np.zeros((0, 2))), middle, middle) if entry else 0.0
        for p, metres, heights in cuts:
            there = np.where((heights[:, 0] <= middle) & (heights[:, 1] >= middle), metres, 0.0)
            sums = before + np.cumsum(there)
            if len(sums) and sums[-1] > cutter.life + 1e-9:
                yield _told(p, int(np.argmax(sums > cutter.life + 1e-9)), cutter, use, before)
                break
            before = float(sums[-1]) if len(sums) else before


def _worn_most(use: CutterUse, cuts: Sequence[Cuts]) -> float:
    """A height above the tip, of those that these programs cut with, where the flute has cut most after them."""
    mine = busy(added((), np.concatenate([m for _, m, _ in cuts]), np.concatenate([h for _, _, h in cuts])))
    both = ((max(f.low, g.low), min(f.high, g.high)) for f in use.flute for g in mine)
    here = [(low + high) / 2 for low, high in both if low < high]
    return max(here, key=lambda h: worst(use.flute, h, h))


def _told(p: ProgramText, move: int, cutter: Cutter, use: CutterUse, before: float) -> Finding:
    assert p.moves is not None
    assert cutter.life is not None
    assert use.left_m is not None
    line = int(p.moves.lines[move])
    when = "it is used up before this program begins" if before >= cutter.life else f"it is used up at line {line}"
    text = f"cutter {cutter.name!r} does not last: {-use.left_m:.2f} m more than its life of {cutter.life:g} m; {when}"
    return Finding("life", "note", text, program=p.file, line=line, remedy=_remedy(use, cutter.life))


def _remedy(use: CutterUse, life: float) -> str:
    """One that this job alone uses up is of no help when it is new."""
    if use.cut_length_mm / 1000 > life:
        return "divide the job, and change the cutter in between"
    return "change the cutter before these programs"


def what_is_left(use: CutterUse, life: float) -> str:
    """Of a cutter's life (m) after a job, in words."""
    if use.left_m is None or use.left_m < 0:
        return _remedy(use, life)
    return f"{use.left_m:.2f} m left"
