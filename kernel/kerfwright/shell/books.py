"""The ledger of one call of `make`: read at the start, kept after each job that was released."""

from __future__ import annotations

from pathlib import Path

from attrs import define

from kerfwright.errors import Fault, InputError
from kerfwright.job import Job
from kerfwright.ledger import Ledger, booked, ledger_text, read_ledger
from kerfwright.ledger.booking import programs_digest
from kerfwright.ledger.lives import what_is_left
from kerfwright.ledger.stepping import stepped
from kerfwright.making import make
from kerfwright.registry import Registry
from kerfwright.result import Result
from kerfwright.saving import write_whole

__all__ = ["Books", "lives", "opened"]


@define
class Books:
    """`ledger` None: none was asked for. `fresh`: a deeper breakthrough where that lets fresh flute meet the sheet."""

    file: Path | None = None
    ledger: Ledger | None = None
    book: bool = False
    fresh: bool = False

    def made(self, job: Job, registry: Registry) -> Result:
        """The job made with what the ledger knows."""
        result = make(job, registry, self.ledger)
        if not self.fresh or self.ledger is None:
            return result
        return stepped(result, self.ledger, lambda other: make(other, registry, self.ledger))

    def keep(self, result: Result) -> list[str]:
        """Book a released job; what to tell. Raises OSError where the file cannot be written."""
        if not self.book or self.file is None or self.ledger is None or not result.ok:
            return []
        ledger = booked(self.ledger, result)
        write_whole(self.file, ledger_text(ledger))
        self.ledger = ledger
        times = next(b.times for b in self.ledger.booked if b.programs == programs_digest(result))
        return [f"  booked in {self.file}" + (f", these programs the {times}. time" if times > 1 else "")]


def opened(file: Path | None, book: bool, fresh: bool) -> Books:
    """Raises InputError where the ledger cannot be used. One that is to be booked in may be new."""
    if file is None:
        for said, option in ((book, "--book"), (fresh, "--fresh-flute")):
            if said:
                raise InputError([Fault(option, "found no ledger, allowed: with --ledger FILE")])
        return Books()
    new = book and not file.exists()
    if not book and not file.exists():
        raise InputError(
            [Fault("--ledger", f"found no file {str(file)!r}, allowed: a ledger; --book begins a new one")]
        )
    if new and not file.parent.is_dir():
        raise InputError([Fault("--ledger", f"found {str(file)!r}, allowed: a file in a folder that exists")])
    ledger = Ledger() if new else read_ledger(file)
    return Books(file, ledger, book, fresh)


def lives(result: Result) -> list[str]:
    """A line for each cutter whose life is known."""
    rows = []
    for use in result.cutters:
        life = result.job.cutters[use.name].life
        if life is None or use.left_m is None or use.life_used is None:
            continue
        left = what_is_left(use, life)
        rows.append(f"  {f'cutter {use.name}':<40} {use.life_used:6.0%} of its life of {life:g} m  {left}")
    return rows
