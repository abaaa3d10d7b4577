"""`kerfwright make`: the main job."""

from __future__ import annotations

from pathlib import Path

import attrs
import click

from kerfwright import __version__
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile import load_job
from kerfwright.making import make
from kerfwright.operation import PACES
from kerfwright.registry import Registry
from kerfwright.result import Result
from kerfwright.resultfile import refused_json, result_json
from kerfwright.saving import save, save_refused
from kerfwright.shell.common import (
    as_line,
    internal_fault,
    job_name,
    options,
    registry_with,
    source_text,
    tell_faults,
    tell_finding,
)

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
@options
def command(
    jobs: tuple[str, ...], out: Path, dialect: str | None, pace: str | None, plugins: tuple[str, ...], as_json: bool
) -> int:
    """Plan, write, read back and prove the programs of each JOB (a YAML file, - for standard input).

    Into OUT/JOBNAME/: programs, walk-round, run sheet, picture, and result.json last. Programs are written only where
    every one passed its checks.
    """
    registry = registry_with(plugins)
    done: dict[str, str] = {}
    codes = []
    for source in jobs:
        try:
            codes.append(_one(source, out, {"dialect": dialect, "pace": pace}, registry, as_json, done))
        except OSError:  # nobody reads the output, or it cannot be written
            raise
        except Exception as e:  # one job's bug must not stop the others
            codes.append(internal_fault(e))
    return max(codes)


def _one(
    source: str, out: Path, instead: dict[str, str | None], registry: Registry, as_json: bool, done: dict[str, str]
) -> int:
    text = source_text(source)
    name = job_name(text)
    try:
        job = load_job(source, registry, text=text) if source == "-" else load_job(source, registry)
        name = job.name
        if name in done:
            click.echo(
                f"error: {source}: job: found {name!r}, the name of {done[name]} too; each job needs its own", err=True
            )
            return 2
        done[name] = source
        job = attrs.evolve(job, dialect=instead["dialect"] or job.dialect, pace=instead["pace"] or job.pace)
        result = make(job, registry)
    except InputError as e:
        tell_faults(e.faults)
        if as_json:
            click.echo(as_line(refused_json(name, __version__, e.faults)))
        if name and done.get(name, source) == source:
            save_refused(name, out, __version__, e.faults, registry)
        return 2
    except Exception as e:  # a bug: what an earlier run released must not pass for what this one would have proved
        if name and done.get(name, source) == source:
            save_refused(name, out, __version__, [Fault("", f"internal fault: {type(e).__name__}")], registry)
        raise
    try:
        folder = save(result, out, registry)
    except OSError as e:
        click.echo(f"error: {e.filename or out}: cannot be written: {e.strerror}", err=True)
        return 2
    for finding in result.findings:
        tell_finding(finding)
    click.echo(as_line(result_json(result)) if as_json else _told(result, folder))
    return 0 if result.ok else 1


def _told(result: Result, folder: Path) -> str:
    errors = sum(f.severity == "error" for f in result.findings)
    if not result.ok:
        return f"{result.job.name}: NOT RELEASED, {errors} error(s); no program written. See {folder / 'picture.svg'} and {folder / 'result.json'}"
    rows = [f"{result.job.name}: proved, in {folder}"]
    for p in result.programs:
        minutes, seconds = divmod(round(p.time_s), 60)
        rows.append(
            f"  {p.file:<40} {p.lines:>6} lines  {p.cut_length_mm / 1000:7.2f} m cut  at least {minutes}:{seconds:02d} min"
        )
    rows.append(f"  {'run-sheet.html':<40} read it at the machine before you start")
    rows += [f"  {p.name:<40} what to measure on the first piece" for p in sorted(folder.glob("inspection-*.html"))]
    return "\n".join(rows)
