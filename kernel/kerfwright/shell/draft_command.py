"""`kerfwright draft`: a job file for a drawing."""

from __future__ import annotations

import json
from pathlib import Path

import click

from kerfwright.drafting import draft, wished
from kerfwright.drafting.telling import as_data, told
from kerfwright.errors import Fault, InputError
from kerfwright.saving import write_whole
from kerfwright.shell.common import options, registry_with, tell_faults
from kerfwright.tables import load_tables

__all__ = ["command"]


@click.command("draft")
@click.argument("drawing", metavar="DRAWING", type=click.Path(path_type=Path))
@click.option("--material", metavar="NAME", help="A name from `kerfwright list materials`; left out: to fill in.")
@click.option("--thickness", metavar="T", help="Of the sheet, mm or with its unit, as '1/16 in'; left out: to fill in.")
@click.option(
    "--machine", default="light-router", show_default=True, metavar="NAME", help="From `kerfwright list machines`."
)
@click.option(
    "--cutter",
    metavar="NAME|D",
    help="From `kerfwright list cutters`, or a diameter; default: the largest that reaches.",
)
@click.option("--hold", default="screws", show_default=True, metavar="HOLD", help="screws, tape, vacuum or frame.")
@click.option("--name", metavar="JOB", help="Of the job; default: the drawing's.")
@click.option("--count", type=int, default=1, show_default=True, help="Copies of the drawing.")
@click.option(
    "--out", type=click.Path(dir_okay=False, path_type=Path), help="The file; default: JOB.yaml beside the drawing."
)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@options
def command(
    drawing: Path, material: str | None, thickness: str | None, machine: str, cutter: str | None, hold: str,
    name: str | None, count: int, out: Path | None, force: bool, plugins: tuple[str, ...], as_json: bool,
) -> int:  # fmt: skip
    """Write a job file for DRAWING (DXF, SVG): pieces, holes, openings, and the largest cutter that reaches every corner.

    Tells what was odd in the drawing. What lines alone do not say (recesses, marks, pieces in openings) is left uncut and
    stands in the file as a comment, for you to decide. Check the file before you cut.
    """
    registry = registry_with(plugins)
    try:
        tables = load_tables(registry)
        wish = wished(
            tables, machine=machine, material=material, thickness=thickness, cutter=cutter, hold=hold, count=count
        )
        made = draft(drawing, wish, name=name, out=out, registry=registry, tables=tables)
        if made.file.exists() and not force:
            raise InputError(
                [Fault("--out", f"found {str(made.file)!r}, which is there already, allowed: a new file, or --force")]
            )
    except InputError as e:
        tell_faults(e.faults)
        return 2
    try:
        write_whole(made.file, made.text)
    except OSError as e:
        click.echo(f"error: {e.filename or made.file}: cannot be written: {e.strerror}", err=True)
        return 2
    file = str(made.file)
    click.echo(json.dumps(as_data(made, file), ensure_ascii=False) if as_json else told(made, file))
    return 0
