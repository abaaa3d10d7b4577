"""What `make` gives back: programs, findings, parts, cutters, cautions. Touches no file until it is saved."""

from __future__ import annotations

import hashlib
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from attrs import define, frozen

from kerfwright.arrays import Bools
from kerfwright.budget import Budget
from kerfwright.cutter import Cutter
from kerfwright.finding import Finding
from kerfwright.job import Job
from kerfwright.moves import Moves
from kerfwright.pricing.cost import Cost
from kerfwright.program import Program
from kerfwright.resumption import Resumption
from kerfwright.setup import Setup
from kerfwright.timing import OperationTime, Times

if TYPE_CHECKING:
    from kerfwright.ledger.values import Flute
    from kerfwright.registry import Registry

__all__ = ["CutterUse", "PartResult", "ProgramText", "Result", "digest"]


def digest(text: str) -> str:
    """SHA-256 of a program's text."""
    return hashlib.sha256(bytes_of(text)).hexdigest()


def bytes_of(text: str) -> bytes:
    """The bytes of a text as it lies in a file, those that are no UTF-8 too: `shell.common.program_text` keeps them."""
    return text.encode("utf-8", "surrogateescape")


@define(frozen=True, eq=False, slots=False)
class ProgramText:
    """One program: the plan it was written from (None for a program from elsewhere), its text, what was read back.

    `moves` and `times` are None where the text could not be read. Lengths mm, times s; `extent` of the cutter's tip, program
    zero. `operations`: what each took; a program from elsewhere does not say which it has.
    """

    file: str
    kind: str
    sheet: int
    dialect: str
    cutter: Cutter | None
    text: str
    moves: Moves | None
    times: Times | None
    cut_length_mm: float
    travel_length_mm: float
    extent: tuple[tuple[float, float, float], tuple[float, float, float]]
    program: Program | None = None
    cutters: tuple[Cutter, ...] = ()
    """What its moves are made with, in the order of their first use; `cutter` is the first."""
    operations: tuple[OperationTime, ...] = ()

    @property
    def time_s(self) -> float:
        """What the machine needs by itself, with dwells; stops for the operator come on top."""
        return self.times.total_s if self.times else 0.0

    @property
    def time_kind(self) -> str:
        """accelerated: with the machine's accelerations · least: without, as the machine does not say them."""
        return self.times.kind if self.times else "least"

    def made_with(self, cutter: Cutter) -> Bools:
        """Which moves are, (n,). Those before any T word count to `cutter`."""
        assert self.moves is not None
        said = self.moves.cutter
        mine: Bools = (said == cutter.number) | ((said == 0) & (cutter == self.cutter))
        return mine

    @cached_property
    def data(self) -> bytes:
        """The file's bytes."""
        return bytes_of(self.text)

    @cached_property
    def sha256(self) -> str:
        """Digest of the file."""
        return hashlib.sha256(self.data).hexdigest()

    @property
    def lines(self) -> int:
        """Lines of text."""
        return self.text.count("\n")


@frozen
class PartResult:
    """How one copy of a part came out, from the sweep of the text: distances in mm, and what holds it."""

    name: str
    sheet: int
    copy: int
    worst_gouge_mm: float
    worst_leftover_mm: float
    held_by: str


@frozen
class CutterUse:
    """What this job cuts with one cutter. Life is counted where its flute does most of this job, with what a ledger
    said before.

    `life_used` is a fraction of the cutter's life, `left_m` the metres until it must be changed, below 0 where it does not
    last; both None where its life is not known. `total_m` and `flute` are the cutter's after this job.
    """

    name: str
    cut_length_mm: float
    life_used: float | None
    left_m: float | None = None
    total_m: float = 0.0
    flute: tuple[Flute, ...] = ()


@define(frozen=True, eq=False)
class Result:
    """All of one job. `ok`: every program was proved, so it may leave.

    `resumed` is there where the programs are the remainder of one that was stopped. `checks` names those that were asked,
    `budgets` says of each part how far its walls may lie from the drawing, `cost` what a proved job costs where it has a quote.
    """

    job: Job
    version: str
    setups: tuple[Setup, ...]
    programs: tuple[ProgramText, ...]
    findings: tuple[Finding, ...]
    parts: tuple[PartResult, ...] = ()
    cutters: tuple[CutterUse, ...] = ()
    cautions: tuple[str, ...] = ()
    cost: Cost | None = None
    resumed: Resumption | None = None
    checks: tuple[str, ...] = ()
    budgets: tuple[Budget, ...] = ()

    @property
    def ok(self) -> bool:
        """No finding is an error."""
        return all(f.severity != "error" for f in self.findings)

    @property
    def varied(self) -> dict[str, Any]:
        """What of the dialect is not as its document has it, by the keys of a job's `output`."""
        dialect = self.setups[0].job.dialect if self.setups else None
        return {} if dialect is None or isinstance(dialect, str) else dialect.varied

    def save(self, out: str | Path, registry: Registry | None = None) -> Path:
        """Writes into `out`/JOBNAME: reports always, programs only where all are proved, `result.json` last.

        Returns that folder. Raises OSError where a file cannot be written.
        """
        from kerfwright.saving import save

        return save(self, out, registry)
