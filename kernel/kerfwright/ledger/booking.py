"""A released job into a ledger."""

from __future__ import annotations

import hashlib

import attrs

from kerfwright.ledger.grooves import grooved, merged
from kerfwright.ledger.lives import uses
from kerfwright.ledger.values import Board, Booking, Ledger, Worn, kind_of, name_of
from kerfwright.result import Result

__all__ = ["booked", "programs_digest"]


def booked(ledger: Ledger, result: Result) -> Ledger:
    """The ledger after a job was cut once, all of it. Raises ValueError for one that was not released."""
    if not result.ok:
        raise ValueError(f"{result.job.name} was not released: nothing of it may be cut, so nothing is booked")
    job = result.job
    new = {
        (u.name, kind_of(job.cutters[u.name])): Worn(
            name=u.name, kind=kind_of(job.cutters[u.name]), cut=u.total_m, flute=u.flute
        )
        for u in uses(result.setups, result.programs, ledger)
        if u.cut_length_mm
    }
    cutters = [new.pop((c.name, c.kind), c) for c in ledger.cutters]
    name, cut = name_of(job.machine), [p for p in result.programs if p.kind == "program"]
    board = ledger.board(job.machine) or Board(machine=name)
    grooves = [g for s in result.setups for g in grooved(s, (p for p in cut if p.sheet == s.number))]
    board = attrs.evolve(board, grooves=merged([*board.grooves, *grooves]))
    boards = [*[b for b in ledger.boards if b.machine != name], board]
    return attrs.evolve(
        ledger,
        cutters=(*cutters, *new.values()),
        boards=tuple(sorted(boards, key=lambda b: b.machine)),
        booked=_noted(ledger, result),
    )


def programs_digest(result: Result) -> str:
    """16 digits that tell a job's programs from others."""
    return hashlib.sha256("".join(p.sha256 for p in result.programs).encode()).hexdigest()[:16]


def _noted(ledger: Ledger, result: Result) -> tuple[Booking, ...]:
    digest = programs_digest(result)
    out = list(ledger.booked)
    for k, one in enumerate(out):
        if (one.job, one.programs) == (result.job.name, digest):
            out[k] = attrs.evolve(one, times=one.times + 1)
            return tuple(out)
    return (*out, Booking(job=result.job.name, programs=digest, times=1))
