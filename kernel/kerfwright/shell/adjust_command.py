"""`kerfwright adjust`: measured sizes of a piece to what brings the next one home."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import click

from kerfwright.adjusting.adjustment import Adjustment, adjust
from kerfwright.adjusting.patching import CannotPatch, with_measured
from kerfwright.adjusting.reading import read_filled
from kerfwright.adjusting.wording import as_data, patch, told
from kerfwright.errors import Fault, InputError
from kerfwright.job import Job
from kerfwright.jobfile import load_job
from kerfwright.registry import Registry
from kerfwright.saving import write_whole
from kerfwright.shell.common import options, registry_with, tell_faults

__all__ = ["command"]


@click.command("adjust")
@click.argument("measured", metavar="MEASURED")
@click.option("--job", "source", metavar="JOB", help="The job whose piece was measured.")
@click.option("--cutter", metavar="NAME", help="Cutter that made the sizes that name none.")
@click.option("--without", multiple=True, metavar="SIZE", help="Leave a size out, by its name; repeatable.")
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for JOBNAME.adjusted.yaml, the patch."
)
@click.option("--write", is_flag=True, help="Set the measured diameters in the job's own file.")
@options
def command(
    measured: str,
    source: str | None,
    cutter: str | None,
    without: tuple[str, ...],
    out: Path | None,
    write: bool,
    plugins: tuple[str, ...],
    as_json: bool,
) -> int:
    """Tell cutter diameter, axis scales and squareness from MEASURED sizes (YAML, or CSV by its name's ending).

    Each size has name, kind (outside, inside, centers), nominal, measured, along (x, y or an angle on the sheet), and may
    have uncertainty (standard), tolerance and cutter; with nothing behind `measured:` it is left out. Exit 1: there is doubt, and nothing is changed.
    """
    try:
        filled = read_filled(measured)
        if source is None and write:
            raise InputError([Fault("--write", "found no job, allowed: with --job")])
        registry = registry_with(plugins)
        job = None if source is None else load_job(source, registry)
        found = adjust(
            filled.sizes,
            None if job is None else job.cutters,
            cutter=cutter,
            without=without,
            tolerance=None if job is None else job.allowed,
            file=measured,
        )
        text = patch(found, Path(measured).name)
        done = [] if found.refused else _written(found, text, job, source or "", out, write, registry)
    except InputError as e:
        tell_faults(e.faults)
        return 2
    except OSError as e:
        if e.filename is None:  # nobody reads the output
            raise
        click.echo(f"error: {e.filename}: cannot be written: {e.strerror}", err=True)
        return 2
    if as_json:
        data = {
            "job": None if job is None else job.name,
            **as_data(found),
            "left_blank": filled.blank,
            "patch": text,
            "written": done,
        }
        click.echo(json.dumps(data, ensure_ascii=False, allow_nan=False))
    else:
        if filled.blank:
            click.echo(
                f"{len(filled.sizes)} of {len(filled.sizes) + filled.blank} sizes filled in; blanks are left out"
            )
        click.echo(told(found))
        if text:
            click.echo(f"\n{text}", nl=False)
        for file in done:
            click.echo(f"written: {file}")
    return 1 if found.refused else 0


def _written(
    found: Adjustment, text: str, job: Job | None, source: str, out: Path | None, write: bool, registry: Registry
) -> list[str]:
    """Files written."""
    done = []
    if out is not None and text:
        out.mkdir(parents=True, exist_ok=True)
        file = out / f"{'measured' if job is None else job.name}.adjusted.yaml"
        write_whole(file, text)
        done.append(str(file))
    if write and job is not None and found.measured:
        _set(source, job, found.measured, registry)
        done.append(source)
    return done


def _set(source: str, job: Job, measured: dict[str, float], registry: Registry) -> None:
    """The job's file with new diameters, once it was read back and says just that. Raises InputError."""
    if source == "-":
        raise InputError([Fault("--write", "found standard input, allowed: a job's file")])
    path = Path(source).resolve()
    data = path.read_bytes()
    mark, text = ("\ufeff", data[3:]) if data.startswith(b"\xef\xbb\xbf") else ("", data)
    try:
        new = with_measured(text.decode(), measured)
    except CannotPatch as e:
        raise InputError([Fault("", f"{e}, allowed: paste the patch yourself", source)]) from None
    again = load_job(source, registry, text=new)
    wanted = {n: attrs.evolve(c, measured=measured.get(n, c.measured)) for n, c in job.cutters.items()}
    if dict(again.cutters) != wanted:
        raise InputError(
            [Fault("cutters", "cannot be changed without changing more; paste the patch yourself", source)]
        )
    write_whole(path, mark + new)
