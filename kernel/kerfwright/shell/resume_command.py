"""`kerfwright resume`: the proved remainder of a program that was stopped."""

from __future__ import annotations

from pathlib import Path

import click

from kerfwright import __version__
from kerfwright.errors import Fault, InputError
from kerfwright.job import Job
from kerfwright.jobfile import load_job
from kerfwright.planning import plan
from kerfwright.registry import Registry
from kerfwright.result import Result
from kerfwright.resultfile import refused_json, result_json
from kerfwright.resuming import Named, resume
from kerfwright.resumption import Resumption
from kerfwright.saving import remove_remainder, save
from kerfwright.shell.common import (
    as_line,
    job_name,
    options,
    program_text,
    registry_with,
    source_text,
    tell_faults,
    tell_finding,
)

__all__ = ["command"]


@click.command("resume")
@click.argument("program", metavar="PROGRAM")
@click.option(
    "--job", "source", required=True, metavar="JOB", help="The job that the program is for (- for standard input)."
)
@click.option(
    "--at", "line", required=True, type=int, metavar="LINE", help="Line of the file at which it stopped, from 1."
)
@click.option("--cutter", metavar="NAME", help="The job's cutter, where the text has no T word.")
@click.option("--dialect", metavar="NAME", help="Dialect of the program, instead of the job's or the machine's.")
@click.option(
    "--before", multiple=True, metavar="FILE", help="A program that ran before it on the sheet; repeatable, in order."
)
@click.option(
    "--after", multiple=True, metavar="FILE", help="A program that follows it on the sheet; repeatable, in order."
)
@click.option(
    "--out",
    default="out",
    show_default=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder; files go to OUT/JOBNAME/PROGRAM-from-line-LINE/.",
)
@options
def command(
    program: str,
    source: str,
    line: int,
    cutter: str | None,
    dialect: str | None,
    before: tuple[str, ...],
    after: tuple[str, ...],
    out: Path,
    plugins: tuple[str, ...],
    as_json: bool,
) -> int:
    """The remainder of PROGRAM after it stopped at LINE, and how each piece stands.

    It goes back to the last place above the sheet from which PROGRAM itself came down, at least 10 mm of cut before LINE,
    and repeats that entry whole. Programs that run before and after it are those that JOB would make, beside PROGRAM as
    they are, unless --before and --after name them.
    """
    registry = registry_with(plugins)
    if dialect is not None and dialect not in registry.dialects:
        raise click.BadParameter(
            f"found {dialect!r}, allowed: {', '.join(sorted(registry.dialects))}", param_hint="--dialect"
        )
    said = source_text(source)
    name = job_name(said)
    try:
        job = load_job(source, registry, text=said) if source == "-" else load_job(source, registry)
        name = job.name
        text = program_text(program)
        if before or after:
            sheet, earlier, later = 1, [_named(f) for f in before], [_named(f) for f in after]
        else:
            sheet, earlier, later = _beside(Path(program), job, registry)
        result = resume(
            job,
            text,
            at=line,
            file=Path(program).name,
            before=earlier,
            after=later,
            sheet=sheet,
            cutter=cutter,
            dialect=dialect,
            registry=registry,
        )
    except InputError as e:
        tell_faults(e.faults)
        if as_json:
            click.echo(as_line(refused_json(name, __version__, e.faults)))
        if name:
            remove_remainder(name, out, program, line, registry)
        return 2
    except Exception:  # a bug: what an earlier call released must not pass for what this one would have proved
        if name:
            remove_remainder(name, out, program, line, registry)
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


def _named(file: str) -> Named:
    return Path(file).name, program_text(file)


def _beside(program: Path, job: Job, registry: Registry) -> tuple[int, list[Named], list[Named]]:
    """The sheet, and the programs before and after this one, by the names that the job gives them."""
    names = [(p.sheet, p.name + program.suffix) for p in plan(job, registry)]
    mine = next((k for k, (_, name) in enumerate(names) if name == program.name), None)
    if mine is None:
        if len(names) == 1:
            return names[0][0], [], []
        raise InputError(
            [
                Fault(
                    str(program),
                    f"is none of {', '.join(name for _, name in names)}, so what ran before it is not known: say it with --before and --after",
                )
            ]
        )
    sheet = names[mine][0]
    before = [_named(str(program.with_name(name))) for on, name in names[:mine] if on == sheet]
    after = [_named(str(program.with_name(name))) for on, name in names[mine + 1 :] if on == sheet]
    return sheet, before, after


def _told(result: Result, folder: Path) -> str:
    errors = sum(f.severity == "error" for f in result.findings)
    if result.ok:
        rows = [f"{result.job.name}: remainder proved, in {folder}"]
        rows += [f"  {p.file}  {p.lines} lines" for p in result.programs]
    else:
        rows = [f"{result.job.name}: NO REMAINDER, {errors} error(s); no program written. See {folder / 'result.json'}"]
    return "\n".join([*rows, *(_pieces(result.resumed) if result.resumed else [])])


def _pieces(resumed: Resumption) -> list[str]:
    rows = [f"  stopped at line {resumed.at}; begins again with line {resumed.begins} of {resumed.program}"]
    return rows + [f"  {p.state:<9} {p.name}, copy {p.copy}: {p.why}" for p in resumed.pieces]
