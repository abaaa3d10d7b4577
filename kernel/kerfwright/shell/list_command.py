"""`kerfwright list`: everything installed."""

from __future__ import annotations

import inspect
import json
from collections.abc import Iterator

import click

from kerfwright.registry import Registry
from kerfwright.shell.common import options, registry_with
from kerfwright.tables import load_tables

__all__ = ["command"]

SHELVES = ("operations", "strategies", "dialects", "drawings", "checks", "reports", "materials", "cutters", "machines")


@click.command("list")
@click.argument("kind", required=False, type=click.Choice(SHELVES), metavar="[KIND]")
@options
def command(kind: str | None, plugins: tuple[str, ...], as_json: bool) -> int:
    """What is installed, of one KIND or of all: operations, strategies, dialects, drawings, checks, reports, materials, cutters, machines."""
    registry = registry_with(plugins)
    for shelf in SHELVES if kind is None else (kind,):
        rows = list(_rows(registry, shelf))
        if as_json:
            click.echo(
                json.dumps({"kind": shelf, "names": [{"name": n, "help": h} for n, h in rows]}, ensure_ascii=False)
            )
            continue
        click.echo(shelf)
        wide = max((len(n) for n, _ in rows), default=0)
        for name, help_ in rows:
            click.echo(f"  {name:<{wide}}  {help_}".rstrip())
    return 0


def _rows(registry: Registry, shelf: str) -> Iterator[tuple[str, str]]:
    if shelf in ("materials", "cutters", "machines"):
        for name, thing in sorted(getattr(load_tables(registry), shelf).items()):
            yield name, getattr(thing, "title", "") or ""
        return
    for key, thing in sorted(getattr(registry, shelf).items()):
        name = " ".join(key) if isinstance(key, tuple) else str(key)
        yield name, (inspect.getdoc(thing) or "").partition("\n")[0]
