"""`kerfwright check`: proves programs that exist, also edited by hand."""

from __future__ import annotations

import click
from attrs import evolve

from kerfwright.errors import InputError
from kerfwright.jobfile import load_job
from kerfwright.making import result_of
from kerfwright.placing import place
from kerfwright.proof import reading_of
from kerfwright.resultfile import result_json
from kerfwright.shell.common import (
    as_line,
    options,
    program_text,
    registry_with,
    source_text,
    tell_faults,
    tell_finding,
)

__all__ = ["command"]


@click.command("check")
@click.argument("programs", nargs=-1, required=True, metavar="PROGRAM...")
@click.option("--job", "source", required=True, metavar="JOB", help="The job that the programs are for.")
@click.option("--cutter", metavar="NAME", help="The job's cutter, where the text has no T word.")
@click.option("--dialect", metavar="NAME", help="Dialect of the programs, instead of the job's or the machine's.")
@click.option(
    "--sheet", type=int, metavar="N", help="Number of the sheet that the programs cut, where the job has several."
)
@options
def command(
    programs: tuple[str, ...],
    source: str,
    cutter: str | None,
    dialect: str | None,
    sheet: int | None,
    plugins: tuple[str, ...],
    as_json: bool,
) -> int:
    """Prove PROGRAMs, in the order in which they run, against the JOB. Nothing is written."""
    registry = registry_with(plugins)
    try:
        job = load_job(source, registry, text=source_text(source)) if source == "-" else load_job(source, registry)
        if dialect is not None and dialect not in registry.dialects:
            raise click.BadParameter(
                f"found {dialect!r}, allowed: {', '.join(sorted(registry.dialects))}", param_hint="--dialect"
            )
        setups = place(evolve(job, dialect=dialect or job.dialect), registry)
    except InputError as e:
        tell_faults(e.faults)
        return 2
    job = setups[0].job
    if cutter is not None and cutter not in job.cutters:
        raise click.BadParameter(f"found {cutter!r}, the job has {', '.join(job.cutters)}", param_hint="--cutter")
    if sheet is None and len(setups) > 1:
        raise click.UsageError(f"the job has {len(setups)} sheets: say with --sheet which one the programs cut")
    if not 1 <= (sheet or 1) <= len(setups):
        raise click.BadParameter(f"found {sheet}, the job has {len(setups)}", param_hint="--sheet")
    setup = setups[(sheet or 1) - 1]
    readings = []
    for name in programs:
        try:
            text = program_text(name)
        except InputError as e:
            tell_faults(e.faults)
            return 2
        named = job.dialect or job.machine.dialect
        fallback = None if cutter is None else job.cutters[cutter]
        readings.append((setup, reading_of(name, None, text, named, job, registry, fallback)))
    result = result_of(job, (setup,), readings, registry)
    for finding in result.findings:
        tell_finding(finding)
    if as_json:
        click.echo(as_line(result_json(result)))
    else:
        click.echo(
            f"{job.name}: {'proved' if result.ok else 'NOT PROVED'}, {len(programs)} program(s), {sum(f.severity == 'error' for f in result.findings)} error(s)"
        )
    return 0 if result.ok else 1
