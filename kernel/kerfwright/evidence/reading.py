"""One program as it was read back."""

from __future__ import annotations

from attrs import define, field

from kerfwright.cutter import Cutter
from kerfwright.errors import CannotRead
from kerfwright.job import Job
from kerfwright.moves import Moves
from kerfwright.traits import Traits

__all__ = ["Reading", "cutter_of"]


def cutter_of(moves: Moves, job: Job) -> Cutter | None:
    """The job's cutter that the text's T words name: the first in force over a move; None where there is none.

    Never from a comment, never from the plan.
    """
    said = [int(e.value) for e in moves.events if e.kind == "cutter"] or [int(n) for n in moves.cutter if n > 0]
    by_number = {c.number: c for c in job.cutters.values()}
    return by_number.get(said[0]) if said else None


@define(frozen=True, eq=False)
class Reading:
    """A program's file name, kind (program or walk-round), text, and what was read from it.

    `moves` is None where the text has no one meaning: then `fault` says why. `cutter` is the one to count where the text
    names none; a T word always goes before it. `dialect` is the name it was read by. `stopped`: the run ended early, with the
    last of its moves, and the operator may have reached in since.
    """

    file: str
    kind: str
    text: str
    moves: Moves | None
    fault: CannotRead | None = None
    cutter: Cutter | None = None
    dialect: str = ""
    traits: Traits | None = field(default=None)
    stopped: bool = False
