"""What the job costs, on one page: what was counted and how, other quantities, and what was left out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import ClassVar

from attrs import define

from kerfwright.pricing.cost import Cost, money
from kerfwright.report import Report
from kerfwright.result import Result
from kerfwright_plugins.reports.run_sheet import STYLE

__all__ = ["QuotePage"]

OWN = """
.price{border:.7mm solid #2f6f7e;padding:2mm 3mm;margin:4mm 0;display:flex;justify-content:space-between;align-items:baseline}
.price b{font-size:17pt}.bar{height:4mm;background:#e8ecea;border:.2mm solid #8a8f90}.bar div{height:100%;background:#2f6f7e}
tr.sum td{font-weight:600;border-top:.6mm solid #12343b}tr.asked td{background:#f3efe4}th.n{text-align:right}
"""


@define(frozen=True)
class QuotePage(Report):
    """`quote.html`, only where the job has a quote and every program was proved."""

    name: ClassVar[str] = "quote"
    when_failed: ClassVar[bool] = False

    def render(self, result: Result) -> Mapping[str, str]:
        """One page; none where no quote was asked for."""
        c = result.cost
        if c is None:
            return {}
        title = escape(f"Quote: {result.job.name}")
        page = "\n".join((_head(result), _price(c), _lines(c), _left_out(c), _quantities(c), _run(c), _terms()))
        return {
            "quote.html": f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
            f"<style>{STYLE}{OWN}</style></head><body>\n{page}\n</body></html>\n"
        }


def _row(cells: Iterable[object], numbers: Iterable[int], kind: str = "", tag: str = "td") -> str:
    right = set(numbers)
    inner = "".join(f"<{tag}{' class=n' if k in right else ''}>{escape(str(v))}</{tag}>" for k, v in enumerate(cells))
    return f"<tr{f' class={kind}' if kind else ''}>{inner}</tr>"


def _head(result: Result) -> str:
    s = result.job.sheet
    material = f"{s.material.title or s.material.name}, {s.thickness.nominal:g} mm"
    rows = (("Title", result.job.name, "Document", "quote"), ("Material", material, "Made by", f"kerfwright {result.version}"),
            ("Customer", "", "Date of issue", ""), ("Quoted by", "", "Valid until", ""))  # fmt: skip
    body = "".join(
        f"<tr><th>{escape(a)}</th><td>{escape(b)}</td><th>{escape(c)}</th><td>{escape(d)}</td></tr>"
        for a, b, c, d in rows
    )
    return f"<h1>Quote: {escape(result.job.name)}</h1><table>{body}</table>"


def _many(n: int, noun: str) -> str:
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def _price(c: Cost) -> str:
    p = c.price
    each = f"{money(p.each, c.currency)} a set, {money(p.per_piece, c.currency)} a piece in the mean"
    each = each if c.unit == "set" else f"{money(p.per_piece, c.currency)} a piece"
    return (
        f'<div class="price"><span>{escape(_many(p.quantity, c.unit))}</span>'
        f"<b>{escape(money(p.total, c.currency))}</b><span>{escape(each)}</span></div>"
    )


def _lines(c: Cost) -> str:
    rows = [_row((v.what, v.how, f"{v.amount:.2f}"), (2,)) for v in c.lines]
    total = _row(("Total", _many(c.price.quantity, c.unit), f"{c.price.total:.2f}"), (2,), "sum")
    head = _row(("", "How it comes about", f"Amount {c.currency}".rstrip()), (2,), tag="th")
    return f"<h2>What is counted</h2><table>{head}{''.join(rows)}{total}</table>"


def _left_out(c: Cost) -> str:
    if not c.not_counted:
        return ""
    rows = "".join(f"<li>{escape(v)}</li>" for v in c.not_counted)
    return f'<div class="proof open"><b>Not counted, for nobody said what it costs.</b> The price is too low by:<ul>{rows}</ul></div>'


def _quantities(c: Cost) -> str:
    rows = [
        _row(
            (q.quantity, q.runs, q.sheets, q.runs * c.units_per_run, f"{q.total:.2f}", f"{q.each:.2f}"),
            range(6),
            "asked" if q.quantity == c.price.quantity else "",
        )
        for q in c.quantities
    ]
    head = (f"{c.unit}s".capitalize(), "Runs", "Sheets", "Made", f"Total {c.currency}".rstrip(), f"A {c.unit}")
    return (
        f"<div class=keep><h2>Other quantities</h2><table>{_row(head, range(6), tag='th')}{''.join(rows)}</table></div>"
    )


def _run(c: Cost) -> str:
    rows = [_row((p.name, p.pieces_per_run, f"{100 * p.share:.1f} %", f"{p.each:.2f}"), (1, 2, 3)) for p in c.parts]
    head = _row(("Part", "Pieces a run", "Share of the area", f"A piece {c.currency}".rstrip()), (1, 2, 3), tag="th")
    sheets = _many(c.sheets_per_run, "sheet")
    whole = c.charged_sheets_per_run == c.sheets_per_run
    charged = (
        "charged whole"
        if whole
        else f"of which {c.charged_sheets_per_run:.3f} are charged, by length; the rest can be used again"
    )
    wide = f"{100 * c.yielded:.1f}"
    counted = (
        "the quantity counts sets, a set being all that one run gives; parts share its price by area. "
        if c.unit == "set"
        else ""
    )
    return (
        f"<div class=keep><h2>One run</h2><table>{head}{''.join(rows)}</table><p>{sheets}, {charged}. Pieces are {wide} % of what is "
        f'charged:</p><div class="bar"><div style="width:{wide}%"></div></div><p><small>Each run more costs '
        f"{escape(money(c.per_run, c.currency))} when all of it is wanted. {counted.capitalize()}Runs are made whole: pieces "
        f"beyond the quantity are charged with it, but for their handling.</small></p></div>"
    )


def _terms() -> str:
    return (
        "<small>Machine time is what the programs' own texts take; stops for the operator belong to set-up and handling. Board, "
        "extraction, carriage and tax are in here only where the shop's prices hold them. Amounts are rounded to hundredths line by line.</small>"
    )
