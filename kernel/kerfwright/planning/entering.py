"""Which way down is taken: the operation's own, or the first of several that finds room; and what is told of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from attrs import evolve

from kerfwright.errors import NoRoom
from kerfwright.planning.context import Context
from kerfwright.planning.run import Block, Run
from kerfwright.strategy import Entry

__all__ = ["deep", "entered", "offers", "remarks"]


def entered(entries: Sequence[Entry], attempt: Callable[[Entry], Run]) -> Run:
    """The run of the first entry that finds room, told where that is not the first. Raises NoRoom with every reason."""
    why: list[NoRoom] = []
    for entry in entries:
        try:
            run = attempt(entry)
        except NoRoom as e:
            why.append(e)
            continue
        return evolve(run, told=(f"entry {entry.name}: {_reasons(entries, why)}", *run.told)) if why else run
    if len(why) == 1:
        raise why[0]
    raise NoRoom(_reasons(entries, why))


def _reasons(entries: Sequence[Entry], why: Sequence[NoRoom]) -> str:
    return ", ".join(f"no room for {entry.name} ({e})" for entry, e in zip(entries, why, strict=False))


def offers(entries: Sequence[Entry], starts: Sequence[float]) -> list[tuple[Sequence[Entry], float]]:
    """Entries to choose from and where to start, in the order of trying: no second entry before the last start."""
    return [(entries[: n + 1], start) for n in range(len(entries)) for start in starts]


def deep(context: Context) -> tuple[str, ...]:
    """What is told of passes deeper than the rates' axial depth: strategies may do so, but not unsaid."""
    most = float(np.max(-np.diff(np.append(context.top, context.levels))))
    axial, work = context.work.rates.axial_depth, context.work
    if most <= axial + 1e-6:
        return ()
    text = f"{work.path}: a pass takes {most:.4g} mm at once, the axial depth of its rates is {axial:.4g} mm"
    side, floor = context.operation.allowance.side, context.setup.heights.floor_of
    for rough in context.setup.works:
        left = rough.operation.allowance.side
        if rough is work:
            break
        if left > side and set(work.loops) <= set(rough.loops) and floor(rough.operation) <= context.bottom + axial:
            return (f"{text}; of the wall only the {left - side:.4g} mm that {rough.path} leaves stand there",)
    return (text,)


def remarks(context: Context, blocks: Sequence[Block]) -> tuple[str, ...]:
    """What is told of runs, once for all that are alike."""
    rows: dict[str, list[int]] = {}
    for block in blocks:
        for text in dict.fromkeys(text for run in block.runs for text in run.told):
            rows.setdefault(text, []).append(block.row)
    out = []
    for text, some in rows.items():
        more = f" and {len(some) - 1} more" if len(some) > 1 else ""
        out.append(f"{context.work.path}, {context.nest.label(some[0])}{more}: {text}")
    return tuple(out)
