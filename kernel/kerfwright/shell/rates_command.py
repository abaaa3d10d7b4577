"""`kerfwright rates`: the numbers for a material, a cutter and a machine, and where each comes from."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TypeVar

import attrs
import click

from kerfwright.cutter import FLUTES, Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.figures import FOR_PLANS, figures
from kerfwright.jobfile.words import nearest
from kerfwright.operation import PACES, Drill, Profile
from kerfwright.rates import choose
from kerfwright.shell.common import options, registry_with, tell_faults
from kerfwright.tables import load_tables
from kerfwright.units import quantity

__all__ = ["command"]

T = TypeVar("T")


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
        stuff = _named("material", material, tables.materials)
        router = _named("machine", machine, tables.machines)
        one = _cutter(cutter, tables.cutters, flutes or ("burr" if stuff.laminate else "up"), teeth)
        thick = _mm("--thickness", thickness)
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


def _named(what: str, name: str, things: Mapping[str, T]) -> T:
    if name not in things:
        raise InputError(
            [Fault(f"--{what}", f"found {name!r}, allowed: {', '.join(sorted(things))}{nearest(name, things)}")]
        )
    return things[name]


def _mm(key: str, text: str) -> float:
    try:
        value, unit = quantity(text)
    except ValueError as e:
        raise InputError([Fault(key, str(e))]) from None
    if unit not in ("", "mm") or not 0 < value <= 50:
        raise InputError([Fault(key, f"found {text!r}, allowed: a length above 0 and at most 50 mm")])
    return value


def _cutter(text: str, things: Mapping[str, Cutter], flutes: str, teeth: int) -> Cutter:
    if text in things or not text[:1].isdigit():
        return _named("cutter", text, things)
    diameter = _mm("--cutter", text)
    return Cutter(
        name="cutter", form="end_mill", flutes=flutes, diameter=diameter, teeth=teeth, flute_length=4 * diameter
    )


def _words(c: Cutter) -> str:
    kind = "drill" if c.form == "drill" else f"{c.flutes} {c.form.replace('_', ' ')}"
    return f"{kind} of {c.diameter:g} mm, {c.teeth} teeth, flutes {c.flute_length:g} mm"
