"""`kerfwright explain`: one thing that is installed, with all that can be said of it."""

from __future__ import annotations

import json

import click

from kerfwright.errors import InputError
from kerfwright.explaining import UnknownName, explain, page
from kerfwright.shell.common import options, registry_with, tell_faults

__all__ = ["command"]


@click.command("explain")
@click.argument("words", nargs=-1, required=True, metavar="NAME")
@options
def command(words: tuple[str, ...], plugins: tuple[str, ...], as_json: bool) -> int:
    """What NAME is: an operation, strategy, kind of strategy, dialect, drawing, check, report, material, cutter or machine.

    With its parameters, units, ranges, defaults and an example; the source of each rule of a dialect and of each value in a
    table; what a check proves and what to do about its findings. A name that several things have: all of them. `entry ramp`
    asks for one of a kind.
    """
    name = " ".join(words)
    try:
        found = explain(name, registry_with(plugins))
    except UnknownName as e:
        click.echo(f"error: {e}", err=True)
        return 2
    except InputError as e:
        tell_faults(e.faults)
        return 2
    if as_json:
        click.echo(json.dumps({"name": name, "found": [one.as_mapping() for one in found]}, ensure_ascii=False))
    else:
        click.echo("\n".join(page(one) for one in found), nl=False)
    return 0
