"""`kerfwright rates`: the numbers for a material, a cutter and a machine, and where each comes from."""

from __future__ import annotations

import json

import attrs
import click

from kerfwright.cutter import FLUTES, Cutter
from kerfwright.errors import InputError
from kerfwright.figures import FOR_PLANS, figures
from kerfwright.operation import PACES, Drill, Profile
from kerfwright.rates import choose
from kerfwright.shell.asking import cutter_of, length, named
from kerfwright.shell.common import options, registry_with, tell_faults
from kerfwright.tables import load_tables

__all__ = ["command"]


@click.command("rates")
@click.option("--material", required=True, metavar="NAME", help="A name from `kerfwright list materials`.")
@click.option(
    "--cutter",
    required=True,
    metavar="NAME|D",
    help="A name from `kerfwright list cutters`, or an end mill's diameter.",
)
@click.option("--machine", required=True, metavar="NAME", help="A name from `kerfwright list machines`.")
@click.option("--pace", type=click.Choice(PACES), default="first", show_default=True, help="How bold.")
@click.option("--thickness", default="2 mm", show_default=True, help="Of the sheet, cut through.")
@click.option(
    "--flutes", type=click.Choice(FLUTES), help="Of a cutter given by its diameter; default: burr in laminate, else up."
)
@click.option(
    "--teeth", type=click.IntRange(1, 24), default=2, show_default=True, help="Of a cutter given by its diameter."
)
@options
def command(
    material: str, cutter: str, machine: str, pace: str, thickness: str, flutes: str | None, teeth: int,
    plugins: tuple[str, ...], as_json: bool,
) -> int:  # fmt: skip
    """Spindle speed, feeds, depths, chip, power, force and bending, each with formula, inputs, limit and source.

    These numbers are for plans, not for safety: the maker's data of cutter, machine and material, and local rules, stand above
    them.
    """
    tables = load_tables(registry_with(plugins))
    try:
        stuff = named("material", material, tables.materials)
        router = named("machine", machine, tables.machines)
        one = cutter_of(cutter, tables.cutters, flutes or ("burr" if stuff.laminate else "up"), teeth)
        thick = length("--thickness", thickness)
        kind = Drill if one.form == "drill" else Profile
        rates = choose(kind(cutter=one), stuff, router, pace, thick)
    except InputError as e:
        tell_faults(e.faults)
        return 2
    found = list(figures(rates, one, stuff, router))
    if as_json:
        rows = [attrs.asdict(f) for f in found]
        click.echo(
            json.dumps({"material": material, "cutter": cutter, "machine": machine, "pace": pace, "figures": rows})
        )
        return 0
    click.echo(f"{stuff.title or material}, {thick:g} mm; {_words(one)}; {machine}; pace {pace}")
    for f in found:
        click.echo(f"  {f}")
    click.echo(FOR_PLANS)
    return 0


def _words(c: Cutter) -> str:
    kind = "drill" if c.form == "drill" else f"{c.flutes} {c.form.replace('_', ' ')}"
    return f"{kind} of {c.diameter:g} mm, {c.teeth} teeth, flutes {c.flute_length:g} mm"
