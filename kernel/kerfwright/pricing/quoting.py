"""From what one run uses up to the price of a quantity. Runs are made whole: the programs are what they are."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal

from kerfwright.pricing.consumption import Consumption, Wear, consumed
from kerfwright.pricing.cost import Cost, Line, PartPrice, Price
from kerfwright.pricing.quote import Quote
from kerfwright.result import Result

__all__ = ["cost_of", "quoted"]

CENT = Decimal("0.01")
WIDE = Context(prec=400)
"""Holds every float to the hundredth."""
SET_UP = "Set-up"
STEPS = (2, 5, 10)
"""Multiples of the quantity asked for that a table of prices shows."""


def quoted(result: Result) -> Cost | None:
    """What a made job costs; None where nobody asks, or where it was not proved: nothing is delivered then."""
    quote = result.job.quote
    return cost_of(quote, consumed(result)) if quote is not None and result.ok else None


def cost_of(quote: Quote, one: Consumption) -> Cost:
    """The quote of a job of which one run uses up `one`."""
    asked = quote.quantity or one.units
    lines = tuple(_with_minimum(quote, list(_lines(quote, one, asked))))
    price = _price(quote, one, asked)
    area = sum(p.area for p in one.parts)
    full = [v for v in _lines(quote, one, one.units) if v.what != SET_UP]
    return Cost(
        currency=quote.currency,
        unit="piece" if len(one.parts) == 1 else "set",
        units_per_run=one.units,
        pieces_per_run=one.pieces,
        sheets_per_run=one.sheets,
        charged_sheets_per_run=_charged(quote, one),
        lines=lines,
        per_run=_sum(full),
        price=price,
        quantities=tuple(_price(quote, one, n) for n in sorted({1, asked, *(asked * k for k in STEPS)})),
        parts=tuple(
            PartPrice(
                p.name, p.count, p.area / area, round(price.total / asked * one.units * p.area / area / p.count, 4)
            )
            for p in one.parts
        ),
        yielded=area / (one.used_area if quote.sheet_share == "used" else one.sheet_area),
        not_counted=tuple(_not_counted(quote, one)),
    )


def _lines(quote: Quote, one: Consumption, units: int) -> Iterator[Line]:
    """All that is known of `units`, before the minimum."""
    runs, pieces = _runs(one, units), units * one.pieces // one.units
    rate = quote.hourly_rate
    many = _count(runs, "run")
    if quote.sheet_price is not None:
        charged = _charged(quote, one)
        what = _count(one.sheets, "whole sheet") if quote.sheet_share == "whole" else f"{charged:.3f} sheets by length"
        how = f"{many} of {what}, {quote.sheet_price:g} a sheet"
        yield _line("Sheets", runs * charged * quote.sheet_price, how)
    if rate is not None:
        how = f"{many} of {_minutes(one.time_s)} min, {rate:g} an hour"
        yield _line("Machine time", runs * one.time_s / 3600 * rate, how)
        if quote.set_up_min is not None:
            how = f"{quote.set_up_min:g} min once, {rate:g} an hour"
            yield _line(SET_UP, quote.set_up_min / 60 * rate, how)
        if quote.handling_min is not None:
            how = f"{_count(pieces, 'piece')} of {quote.handling_min:g} min, {rate:g} an hour"
            yield _line("Handling", pieces * quote.handling_min / 60 * rate, how)
    for w in one.wear:
        if w.life is not None and w.price is not None:
            how = f"{many} of {w.metres:.2f} m, {w.price:g} a cutter of {w.life:g} m"
            yield _line(f"Wear of cutter {w.cutter}", runs * w.metres / w.life * w.price, how)


def _with_minimum(quote: Quote, lines: list[Line]) -> list[Line]:
    """With what brings them up to the least price of an order."""
    if quote.minimum is None:
        return lines
    missing = Decimal(str(quote.minimum)).quantize(CENT, ROUND_CEILING, WIDE) - _exact(lines)
    how = f"brought up to the least price of an order, {quote.minimum:g}"
    return [*lines, Line("Up to the minimum", float(missing), how)] if missing > 0 else lines


def _price(quote: Quote, one: Consumption, units: int) -> Price:
    total = _sum(_with_minimum(quote, list(_lines(quote, one, units))))
    runs = _runs(one, units)
    pieces = units * one.pieces / one.units
    return Price(units, runs, runs * one.sheets, total, round(total / units, 4), round(total / pieces, 4))


def _not_counted(quote: Quote, one: Consumption) -> Iterator[str]:
    """What is not known, with the key that would tell it."""
    if quote.sheet_price is None:
        yield f"{_count(one.sheets, 'sheet')} a run: no sheet_price"
    if quote.hourly_rate is None:
        yield f"machine time, {_minutes(one.time_s)} min a run: no hourly_rate"
    for name, minutes, key in (
        (SET_UP, quote.set_up_min, "set_up_min"),
        ("Handling", quote.handling_min, "handling_min"),
    ):
        lacking = [k for k, v in ((key, minutes), ("hourly_rate", quote.hourly_rate)) if v is None]
        if lacking and minutes != 0:
            yield f"{name.lower()}: no {' and no '.join(lacking)}"
    for w in one.wear:
        if lacking := _unknown(w):
            yield f"wear of cutter {w.cutter}, {w.metres:.2f} m a run: no {' and no '.join(lacking)}"


def _unknown(w: Wear) -> list[str]:
    return [key for key, v in (("life", w.life), ("price", w.price)) if v is None]


def _charged(quote: Quote, one: Consumption) -> float:
    """Sheets of a run that are charged."""
    return one.used if quote.sheet_share == "used" else float(one.sheets)


def _runs(one: Consumption, units: int) -> int:
    return -(-units // one.units)


def _line(what: str, amount: float, how: str) -> Line:
    return Line(what, float(Decimal(str(amount)).quantize(CENT, ROUND_HALF_UP, WIDE)), how)


def _exact(lines: list[Line]) -> Decimal:
    """Hundredths add up without an error, so that a page's lines give its total."""
    return sum((Decimal(str(v.amount)) for v in lines), Decimal(0))


def _sum(lines: list[Line]) -> float:
    return float(_exact(lines))


def _count(n: int, noun: str) -> str:
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def _minutes(seconds: float) -> str:
    whole = int(seconds + 0.5)
    return f"{whole // 60}:{whole % 60:02d}"
