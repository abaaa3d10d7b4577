"""`kerfwright coupon rates`: slots at rising feeds, to learn which feeds a machine cuts well at."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from kerfwright.coupons import rates_job, rates_page, slots
from kerfwright.coupons.ratesjob import NAME
from kerfwright.coupons.ratespage import chip
from kerfwright.errors import InputError
from kerfwright.jobfile import load_job
from kerfwright.shell.common import options, registry_with, tell_faults
from kerfwright.shell.coupon_asking import asked_of, asking, told, write

__all__ = ["command"]


@click.command("rates")
@asking
@click.option("--steps", type=int, default=6, show_default=True, help="Slots, 3 to 12.")
@options
def command(out: Path, steps: int, plugins: tuple[str, ...], as_json: bool, **said: Any) -> int:
    """Write the job of a test piece: numbered slots at rising feeds, from below the table's first feed to the fastest.

    Into OUT/coupon-rates: coupon-rates.yaml, which `kerfwright make` makes and proves, and coupon.html, to print and fill in.
    With --board the slots go through; without, they are one pass deep. Nothing comes loose.
    """
    registry = registry_with(plugins)
    try:
        asked = asked_of(said, registry)
        found = slots(asked, steps)
        text = rates_job(asked, found)
        job = load_job(f"{NAME}.yaml", registry, text=text)
        files = {f"{NAME}.yaml": text, "coupon.html": rates_page(asked, found, job)}
        write(out / NAME, files)
    except InputError as e:
        tell_faults(e.faults)
        return 2
    except OSError as e:
        click.echo(f"error: {e.filename}: cannot be written: {e.strerror}", err=True)
        return 2
    speed = found.ladder.rates.spindle
    rows = [
        {"slot": n, "feed": feed, "chip": round(chip(asked, speed, feed), 5)}
        for n, feed in enumerate(found.ladder.feeds, 1)
    ]
    told(out / NAME, out, files, NAME, {"spindle": speed, "limit": found.ladder.limit, "slots": rows}, as_json)
    if not as_json:
        feeds = ", ".join(f"{f:g}" for f in found.ladder.feeds)
        click.echo(f"{steps} slots at {feeds} mm/min, {speed:.0f} rpm, on {found.size[0]:g} x {found.size[1]:g} mm")
    return 0
