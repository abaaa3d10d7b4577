"""`kerfwright coupon fit`: squares, openings and holes to measure, and the form that `adjust` reads."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from kerfwright.adjusting.form import filled_in
from kerfwright.coupons import fit_form, fit_job, fit_page, fit_piece
from kerfwright.coupons.fitjob import NAME
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile import load_job
from kerfwright.shell.common import options, registry_with, tell_faults
from kerfwright.shell.coupon_asking import asked_of, asking, told, write

__all__ = ["command"]

FORM = "measured.yaml"


@click.command("fit")
@asking
@options
def command(out: Path, plugins: tuple[str, ...], as_json: bool, **said: Any) -> int:
    """Write the job of a test piece to measure: outside and inside squares, holes, and centers along X, Y and both diagonals.

    Into OUT/coupon-fit: coupon-fit.yaml, which `kerfwright make` makes and proves; coupon.html, how to measure; measured.yaml, the
    form that `kerfwright adjust` reads once it is filled in. A form that is filled in is never written over.
    """
    registry = registry_with(plugins)
    folder = out / NAME
    try:
        asked = asked_of(said, registry)
        piece = fit_piece(asked)
        text = fit_job(asked, piece)
        job = load_job(f"{NAME}.yaml", registry, text=text)
        _spare(folder / FORM)
        files = {f"{NAME}.yaml": text, "coupon.html": fit_page(asked, piece, job), FORM: fit_form(asked, piece)}
        write(folder, files)
    except InputError as e:
        tell_faults(e.faults)
        return 2
    except OSError as e:
        click.echo(f"error: {e.filename}: cannot be written: {e.strerror}", err=True)
        return 2
    size = asked.sheet_size(piece.size)
    told(folder, out, files, NAME, {"centers": list(piece.centers), "size": list(size)}, as_json)
    if not as_json:
        click.echo(
            f"then measure, fill in {folder / FORM}, and\n  kerfwright adjust {folder / FORM} --job {folder / NAME}.yaml"
        )
    return 0


def _spare(file: Path) -> None:
    """Raises InputError where a form lies there that somebody filled in."""
    if file.exists() and filled_in(file.read_bytes().decode("utf-8", "replace")):
        text = "found a form that is filled in, allowed: another --out, or no form there"
        raise InputError([Fault(str(file), text)])
