"""The page that goes to the machine with the programs: one HTML file, no network, made to be printed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import ClassVar

from attrs import define

from kerfwright.cutter import Cutter
from kerfwright.figures import FOR_PLANS, Figure, figures
from kerfwright.operation import Answering
from kerfwright.outlines.chains import counted
from kerfwright.report import Report
from kerfwright.result import ProgramText, Result
from kerfwright.setup import Setup, Work
from kerfwright.sheet import Thickness
from kerfwright_plugins.reports.first_checks import first_checks
from kerfwright_plugins.reports.lives import lives
from kerfwright_plugins.reports.picture import sheet_picture
from kerfwright_plugins.reports.proved import proved
from kerfwright_plugins.reports.times import heading, minutes, remark, times
from kerfwright_plugins.reports.told import told
from kerfwright_plugins.reports.tolerances import stopped, tolerances

__all__ = ["STYLE", "RunSheet"]

STYLE = """
body{font:10.5pt/1.35 sans-serif;color:#1a1a1a;margin:12mm auto;max-width:186mm}
h1{font-size:17pt;margin:0}h2{font-size:11.5pt;margin:6mm 0 1.5mm;border-bottom:.4mm solid #12343b;break-after:avoid}
table{border-collapse:collapse;width:100%;margin:1mm 0}th,td{border:.2mm solid #8a8f90;padding:.8mm 1.6mm;text-align:left;vertical-align:top}
th{background:#e8ecea;font-weight:600}td.n{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
.proof{border:.7mm solid #2f6f7e;padding:2mm 3mm;margin:4mm 0}.open{border-color:#c0631c}
ul{margin:1mm 0;padding-left:6mm}.box{list-style:none;padding-left:1mm}.box li::before{content:"\\2610\\00a0\\00a0"}
.caution{border:.7mm solid #9c2f3f;padding:1mm 3mm}.blank{height:9mm}svg{max-width:100%;height:auto}
code{font-family:monospace;font-size:9pt}small{color:#444}
@media print{body{margin:0}.keep{break-inside:avoid}}
"""


@define(frozen=True)
class RunSheet(Report):
    """`run-sheet.html`, only where every program was proved."""

    name: ClassVar[str] = "run_sheet"
    when_failed: ClassVar[bool] = False

    def render(self, result: Result) -> Mapping[str, str]:
        """One page for all sheets of the job."""
        parts = [_head(result), proved(result), stopped(result), _cautions(result)]
        for setup in result.setups:
            parts += [_sheet(result, setup), _programs(result, setup), times(result, setup), _rates(setup)]
        parts += [lives(result), _first_checks(result), _pieces(result), tolerances(result), told(result), _sign_off()]
        title = escape(f"Run sheet: {result.job.name}")
        page = "\n".join(p for p in parts if p)
        return {
            "run-sheet.html": f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
            f"<style>{STYLE}</style></head><body>\n{page}\n</body></html>\n"
        }


def _table(head: Iterable[str], rows: Iterable[Iterable[object]], numbers: frozenset[int] = frozenset()) -> str:
    def cell(k: int, v: object) -> str:
        return f"<td{' class=n' if k in numbers else ''}>{escape(str(v))}</td>"

    top = "".join(f"<th>{escape(h)}</th>" for h in head)
    return (
        f"<table><tr>{top}</tr>"
        + "".join(f"<tr>{''.join(cell(k, v) for k, v in enumerate(r))}</tr>" for r in rows)
        + "</table>"
    )


def _list(items: Iterable[str], kind: str = "") -> str:
    return f"<ul{f' class={kind}' if kind else ''}>" + "".join(f"<li>{escape(i)}</li>" for i in items) + "</ul>"


def _head(result: Result) -> str:
    """Title block: the data fields of ISO 7200 that a job has, the others to fill in by hand."""
    rows = (
        ("Title", result.job.name, "Document", "run sheet"),
        ("Made by", f"kerfwright {result.version}", "Sheets", len(result.setups)),
        ("Legal owner", "", "Identification", ""),
        ("Creator", "", "Date of issue", ""),
    )
    body = "".join(
        "<tr>"
        + "".join(
            f"<{'th' if k % 2 == 0 else 'td'}>{escape(str(v))}</{'th' if k % 2 == 0 else 'td'}>"
            for k, v in enumerate(r)
        )
        + "</tr>"
        for r in rows
    )
    return f"<h1>{escape(result.job.name)}</h1><table>{body}</table>"


def _cautions(result: Result) -> str:
    return f'<h2>Cautions</h2><div class="caution">{_list(result.cautions)}</div>'


def _sheet(result: Result, setup: Setup) -> str:
    s, h = result.job.sheet, setup.heights
    x0, y0, x1, y1 = setup.stock.bounds
    zero = f"X {s.zero.x}, Y {s.zero.y}, Z {'top of the sheet' if s.zero.z == 'sheet_top' else 'top of the board, the face the sheet lies on'}"
    rows = [
        ("Material", s.material.title or s.material.name),
        ("Size", f"{x1 - x0:g} x {y1 - y0:g} mm"),
        (
            "Thickness",
            f"{s.thickness.nominal:g} mm{_range(s.thickness)}: measure at the corners and the middle",
        ),
        ("Board", f"{s.board:g} mm under the sheet; the cutter goes {s.breakthrough:g} mm into it"),
        ("Hold", f"{s.hold}, {counted(len(setup.keepouts), 'keepout')}"),
        ("Program zero", f"{zero}; front left corner of the sheet is X{x0:g} Y{y0:g}"),
        ("Planes", f"travel Z{h.travel:g}, approach Z{h.approach:g}, deepest floor Z{h.floor:g}"),
    ]
    if _in_inch(setup):
        rows.append(
            ("Lengths", "on this page in mm, in the programs in inch: 25.4 mm are 1 inch on the controller's display")
        )
    body = "".join(f"<tr><th>{escape(a)}</th><td>{escape(b)}</td></tr>" for a, b in rows)
    return f"<h2>Sheet {setup.number}: set-up</h2><table>{body}</table><div class=keep>{sheet_picture(result, setup)}</div>"


def _in_inch(setup: Setup) -> bool:
    dialect = setup.job.dialect
    return dialect is not None and not isinstance(dialect, str) and dialect.traits.units == "inch"


def _range(t: Thickness) -> str:
    return f" (from {t.least:g} to {t.most:g})" if t.least < t.most else ", the same everywhere, as the job says"


def _cutter(c: Cutter | None) -> str:
    if c is None:
        return "-"
    kind = "drill" if c.form == "drill" else f"{c.flutes} {c.form.replace('_', ' ')}"
    kind += f" {c.point_angle:g}°, tip Ø{c.tip_diameter:g}" if c.taper else ""
    return f"T{c.number} {c.name}: {kind}, Ø{c.cuts:g}, {c.teeth} teeth, flutes {c.flute_length:g} mm"


def _programs(result: Result, setup: Setup) -> str:
    mine = [p for p in result.programs if p.sheet == setup.number]
    ordered = [p for p in mine if p.kind == "walk-round"] + [p for p in mine if p.kind == "program"]

    def row(k: int, p: ProgramText) -> tuple[object, ...]:
        (a, b, c), (d, e, f) = p.extent
        box = f"X {a:.1f} to {d:.1f}, Y {b:.1f} to {e:.1f}, Z {c:.2f} to {f:.1f}"
        what = (
            "walk-round, spindle stays off"
            if p.kind == "walk-round"
            else "; ".join(map(_cutter, p.cutters)) or _cutter(p.cutter)
        )
        return k, p.file, what, minutes(p.time_s), f"{p.cut_length_mm / 1000:.2f}", box, p.sha256[:12]

    head = ("", "File", "Cutter", heading(ordered), "Cut (m)", "Extent of the tip", "SHA-256 begins")
    return (
        f"<h2>Sheet {setup.number}: programs, in this order</h2>{_table(head, [row(k, p) for k, p in enumerate(ordered, 1)], frozenset({3, 4}))}"
        f"<small>{remark(ordered)}</small>"
    )


def _rates(setup: Setup) -> str:
    rows = []
    for w in setup.works:
        r, op = w.rates, w.operation
        numbers = (f"{r.spindle:g}", f"{r.feed:g}", f"{r.plunge_feed:g}", f"{r.axial_depth:g}")
        rows.append((w.index + 1, op.kind, op.cutter.name, len(w.loops), _depth(w), *numbers))
    head = (
        "",
        "Operation",
        "Cutter",
        "Outlines",
        "Depth",
        "Spindle rpm",
        "Feed mm/min",
        "Plunge mm/min",
        "Depth of pass mm",
    )
    return (
        f"<h2>Sheet {setup.number}: operations and rates</h2>{_table(head, rows, frozenset({3, 5, 6, 7, 8}))}"
        f"<h2>Where each number comes from</h2>{_numbers(setup)}"
    )


def _depth(w: Work) -> str:
    """How deep a work goes, and what it leaves on purpose."""
    op = w.operation
    whole = "by its size" if isinstance(op, Answering) else "through"
    depth = whole if op.depth is None else f"{op.depth:g} mm"
    if w.last:
        return f"{depth}, from {op.start:g} mm: the skin, last of all"
    left = [
        f"{mm:g} mm {where}" for mm, where in ((op.allowance.side, "at the side"), (op.allowance.bottom, "below")) if mm
    ]
    again = [f"last lap {1 + op.repeat} times"] if op.repeat else []
    return ", ".join([depth, *[f"less {v}" for v in left], *again])


def _numbers(setup: Setup) -> str:
    """What `kerfwright rates` says, each number once, with the operations that have it."""
    job = setup.job
    of: dict[Figure, list[str]] = {}
    for w in setup.works:
        for one in figures(w.rates, w.operation.cutter, job.sheet.material, job.machine):
            of.setdefault(one, []).append(str(w.index + 1))
    names = [*dict.fromkeys(one.name for one in of)]
    rows = [
        (one.name, ", ".join(dict.fromkeys(who)), one.shown, one.unit, one.why.replace("_", " "))
        for one, who in sorted(of.items(), key=lambda row: names.index(row[0].name))
    ]
    head = ("Number", "Operations", "Value", "Unit", "Why")
    return f"{_table(head, rows, frozenset({2}))}<small>{escape(FOR_PLANS)}</small>"


def _first_checks(result: Result) -> str:
    return f"<div class=keep><h2>Before the spindle starts</h2>{_list(first_checks(result), 'box')}</div>"


def _pieces(result: Result) -> str:
    rows = [
        (p.name, p.sheet, p.copy, p.held_by, f"{p.worst_gouge_mm:.3f}", f"{p.worst_leftover_mm:.3f}", "")
        for p in result.parts
    ]
    head = ("Part", "Sheet", "Copy", "Held by", "Into the part mm", "Left standing mm", "Measured")
    return f"<h2>Pieces</h2>{_table(head, rows, frozenset({1, 2, 4, 5}))}"


def _sign_off() -> str:
    rows = ("Set up and walked round", "First piece measured", "Released for the rest")
    body = "".join(f"<tr><th>{r}</th><td class=blank></td><td></td><td></td></tr>" for r in rows)
    return f"<div class=keep><h2>Sign-off</h2><table><tr><th></th><th>Name</th><th>Date</th><th>Signature</th></tr>{body}</table></div>"
