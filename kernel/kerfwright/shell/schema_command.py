"""`kerfwright schema`: JSON Schema of the job file, for editors."""

from __future__ import annotations

import json

import click

from kerfwright.errors import InputError
from kerfwright.jobfile.schema import job_schema
from kerfwright.shell.common import options, registry_with, tell_faults

__all__ = ["command"]


@click.command("schema")
@options
def command(plugins: tuple[str, ...], as_json: bool) -> int:
    """JSON Schema (draft 2020-12) of the job file with all that is installed, for editors that check and complete while you write.

    It knows keys, types, words and ranges. What follows from several keys at once, from drawings and from names of your own
    only `kerfwright make` tells.
    """
    try:
        found = job_schema(registry_with(plugins))
    except InputError as e:
        tell_faults(e.faults)
        return 2
    click.echo(json.dumps(found, ensure_ascii=False, indent=None if as_json else 2))
    return 0
