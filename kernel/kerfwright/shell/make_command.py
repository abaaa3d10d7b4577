"""`kerfwright make`: the main job."""

from __future__ import annotations

from pathlib import Path

import click

from kerfwright.errors import InputError
from kerfwright.operation import PACES
from kerfwright.shell.books import opened
from kerfwright.shell.common import internal_fault, options, registry_with, source_text, tell_faults
from kerfwright.shell.one_job import one_job, tell

__all__ = ["command"]


@click.command("make")
@click.argument("jobs", nargs=-1, required=True, metavar="JOB...")
@click.option(
    "--out",
    default="out",
    show_default=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder; files go to OUT/JOBNAME/.",
)
@click.option("--dialect", metavar="NAME", help="Dialect of the programs, instead of the job's or the machine's.")
@click.option("--pace", type=click.Choice(PACES), help="How bold the rates are, instead of the job's.")
@click.option(
    "--ledger", type=click.Path(dir_okay=False, path_type=Path), help="What cutters have cut before; see --book."
)
@click.option("--book", is_flag=True, help="Add the metres and grooves of released jobs to the ledger.")
@click.option(
    "--fresh-flute",
    "fresh",
    is_flag=True,
    help="Where the ledger's cutter is worn: deeper into the board, on fresh flute.",
)
@options
def command(
    jobs: tuple[str, ...], out: Path, dialect: str | None, pace: str | None, ledger: Path | None, book: bool, fresh: bool,
    plugins: tuple[str, ...], as_json: bool,
) -> int:  # fmt: skip
    """Plan, write, read back and prove the programs of each JOB (a YAML file, - for standard input).

    Into OUT/JOBNAME/: programs, walk-round, run sheet, picture, and result.json last. Programs are written only where
    every one passed its checks.
    """
    registry = registry_with(plugins)
    try:
        books = opened(ledger, book, fresh)
    except InputError as e:
        tell_faults(e.faults)
        return 2
    taken: dict[str, str] = {}
    codes = []
    for source in jobs:
        try:
            instead = {"dialect": dialect, "pace": pace}
            told = one_job(source, source_text(source), out, instead, registry, books, taken)
        except OSError:  # nobody reads the output, or it cannot be written
            raise
        except Exception as e:  # one job's bug must not stop the others
            codes.append(internal_fault(e))
            continue
        tell(told, as_json)
        codes.append(told.code)
        if told.name:
            taken.setdefault(told.name, source)
    return max(codes)
