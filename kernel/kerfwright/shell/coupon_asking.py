"""What `coupon rates` and `coupon fit` ask alike, and how both write."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from kerfwright.coupons import Asked
from kerfwright.cutter import FLUTES
from kerfwright.errors import Fault, InputError
from kerfwright.registry import Registry
from kerfwright.saving import write_whole
from kerfwright.sheet import HOLDS
from kerfwright.shell.asking import cutter_of, length, named
from kerfwright.tables import load_tables

__all__ = ["asked_of", "asking", "told", "write"]

F = TypeVar("F", bound=Callable[..., Any])


def asking(function: F) -> F:
    """The options of a test piece."""
    for one in reversed(
        (
            click.option("--material", required=True, metavar="NAME", help="A name from `kerfwright list materials`."),
            click.option("--thickness", required=True, metavar="T", help="Of the sheet, measured, at its thickest place."),
            click.option(
                "--cutter", required=True, metavar="NAME|D",
                help="A name from `kerfwright list cutters`, or an end mill's diameter.",
            ),
            click.option("--machine", required=True, metavar="NAME", help="A name from `kerfwright list machines`."),
            click.option("--board", metavar="B", help="Thickness of the sacrificial board under the sheet."),
            click.option("--size", metavar="W,H", help="The offcut, X and Y; left out: as large as the test piece needs."),
            click.option("--hold", type=click.Choice(HOLDS), default="tape", show_default=True, help="How the sheet is held."),
            click.option(
                "--flutes", type=click.Choice(FLUTES), help="Of a cutter given by its diameter; default: burr in laminate, else up."
            ),
            click.option(
                "--teeth", type=click.IntRange(1, 24), default=2, show_default=True, help="Of a cutter given by its diameter."
            ),
            click.option("--flute-length", metavar="L", help="Of a cutter given by its diameter; default: 4 diameters."),
            click.option(
                "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("out"), show_default=True,
                help="Where the test piece's folder is written.",
            ),
        )
    ):  # fmt: skip
        function = one(function)
    return function


def asked_of(said: Mapping[str, Any], registry: Registry) -> Asked:
    """The options' values. Raises InputError."""
    tables = load_tables(registry)
    material, machine, cutter = said["material"], said["machine"], said["cutter"]
    stuff, router = named("material", material, tables.materials), named("machine", machine, tables.machines)
    long, board, size = said["flute_length"], said["board"], said["size"]
    flutes = said["flutes"] or ("burr" if stuff.laminate else "up")
    if cutter in tables.cutters and (said["flutes"] or long):
        text = f"found the cutter {cutter} of the tables, allowed: only beside a diameter"
        raise InputError([Fault("--flutes" if said["flutes"] else "--flute-length", text)])
    return Asked(
        (material, cutter if cutter in tables.cutters else "", machine),
        stuff,
        cutter_of(cutter, tables.cutters, flutes, said["teeth"], length("--flute-length", long, 200) if long else None),
        router,
        length("--thickness", said["thickness"]),
        None if board is None else length("--board", board, 200),
        said["hold"],
        None if size is None else _size(size),
    )


def _size(text: str) -> tuple[float, float]:
    both = text.split(",")
    if len(both) != 2:
        raise InputError([Fault("--size", f"found {text!r}, allowed: X and Y of the offcut, as 120,80")])
    return length("--size", both[0], 5000), length("--size", both[1], 5000)


def write(folder: Path, files: Mapping[str, str]) -> None:
    """Each whole or not at all. Raises OSError that names the file."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        write_whole(folder / name, text)


def told(folder: Path, out: Path, files: Mapping[str, str], job: str, more: Mapping[str, Any], as_json: bool) -> None:
    """What was written, and what to do next."""
    if as_json:
        data = {"job": job, "files": [str(folder / name) for name in files], **more}
        click.echo(json.dumps(data, ensure_ascii=False, allow_nan=False))
        return
    click.echo(
        f"{', '.join(files)}, in {folder}: read coupon.html first, then\n  kerfwright make {folder / job}.yaml --out {out}"
    )
