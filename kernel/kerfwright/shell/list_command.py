"""`kerfwright list`: everything installed."""

from __future__ import annotations

import json
from collections.abc import Iterator

import click

from kerfwright.explaining.plugins import of_module
from kerfwright.jobfile.customs import CUSTOMS
from kerfwright.jobfile.schemas import Schemas
from kerfwright.registry import Registry
from kerfwright.saying import sentence, summary
from kerfwright.shell.common import options, registry_with
from kerfwright.tables import load_tables

__all__ = ["command"]

SHELVES = ("operations", "strategies", "dialects", "drawings", "checks", "reports", "materials", "cutters", "machines")
TOLD_BY_FILE = ("drawings", "checks", "reports")
"""What each of these does stands above it in its file; beside it stands how."""
OWN = "kerfwright: "
"""How the origin of what kerfwright itself brings begins."""


@click.command("list")
@click.argument("kind", required=False, type=click.Choice(SHELVES), metavar="[KIND]")
@options
def command(kind: str | None, plugins: tuple[str, ...], as_json: bool) -> int:
    """What is installed, of one KIND or of all: operations, strategies, dialects, drawings, checks, reports, materials, cutters, machines.

    What another plugin brings is followed by the plugin's name.
    """
    registry = registry_with(plugins)
    for shelf in SHELVES if kind is None else (kind,):
        rows = list(_rows(registry, shelf))
        if as_json:
            names = [{"name": n, "help": h, "origin": o} for n, h, o in rows]
            click.echo(json.dumps({"kind": shelf, "names": names}, ensure_ascii=False))
            continue
        click.echo(shelf)
        wide = max((len(n) for n, _, _ in rows), default=0)
        for name, help_, origin in rows:
            foreign = f" [{origin}]" if origin and not origin.startswith(OWN) else ""
            click.echo(f"  {name:<{wide}}  {help_}{foreign}".rstrip())
    return 0


def _rows(registry: Registry, shelf: str) -> Iterator[tuple[str, str, str]]:
    """Name, first sentence of help, and the plugin it comes from ('' for an entry of a table)."""
    if shelf in ("materials", "cutters", "machines"):
        for name, thing in sorted(getattr(load_tables(registry), shelf).items()):
            yield name, getattr(thing, "title", "") or "", ""
        return
    schemas = Schemas(registry, CUSTOMS)
    for key, thing in sorted(getattr(registry, shelf).items()):
        name = " ".join(key) if isinstance(key, tuple) else str(key)
        said = sentence(of_module(schemas, thing)[0]) if shelf in TOLD_BY_FILE else summary(thing)
        yield name, said, registry.origins.get(thing, "")
