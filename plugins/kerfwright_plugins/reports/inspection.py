"""What to measure on the first piece: a page for each part, and a form that `kerfwright adjust` reads, with the same rows."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape
from itertools import groupby
from typing import ClassVar

from attrs import define

from kerfwright.adjusting.form import Blank, form
from kerfwright.inspecting.rows import CALIPER, Inspection, Row, inspections
from kerfwright.job import Job
from kerfwright.report import Report
from kerfwright.result import Result
from kerfwright_plugins.reports.inspection_picture import numbered_picture
from kerfwright_plugins.reports.run_sheet import STYLE
from kerfwright_plugins.reports.svgpath import number

__all__ = ["InspectionSheet"]

OWN = "h1 small{font-weight:400}.alike td{background:#f4f6f5;font-weight:600}svg{max-height:125mm}td.in{min-width:22mm;height:6mm}tr{break-inside:avoid}"
BEFORE = (
    "Brush off and extract the dust with mask and glasses on; edges, burrs and splinters cut: wear gloves.",
    "Break the edges' burrs first. Measure away from bridges and from where the cutter came in.",
    "A distance of centers: measure over the far walls of both holes and between their near walls; it is the mean of the two.",
    "Write down every digit that the instrument shows, also where a size is bad: that is what tells the cutter's error.",
)
"""Common practice; the mean is geometry, also for holes of two diameters."""


@define(frozen=True)
class InspectionSheet(Report):
    """`inspection-PART.html` and `measured-PART.yaml`, only where every program was proved; none for a remainder."""

    name: ClassVar[str] = "inspection"
    when_failed: ClassVar[bool] = False

    def render(self, result: Result) -> Mapping[str, str]:
        """Two files for each part that has a size to measure."""
        out: dict[str, str] = {}
        for one in () if result.resumed else inspections(result.job, result.setups):
            name = _file_name(one.part, out)
            out[f"inspection-{name}.html"] = _page(result, one, f"measured-{name}.yaml")
            out[f"measured-{name}.yaml"] = _form(result.job, one)
        return out


def _file_name(part: str, taken: Mapping[str, str]) -> str:
    plain = re.sub(r"[^A-Za-z0-9_-]+", "-", part)[:48].strip("-") or "part"
    names = [plain, *[f"{plain}-{n}" for n in range(2, len(taken) + 3)]]
    low = {v.lower() for v in taken}
    return next(n for n in names if f"inspection-{n}.html".lower() not in low)


def _which(one: Inspection) -> str:
    turned = f", turned by {one.turn:g} deg" if one.turn else ""
    return f"part {one.part!r}, copy {one.copy} on sheet {one.sheet}{turned}"


def _limits(job: Job) -> str:
    return (
        f"± {job.tolerance:g} mm" if job.tolerance_class is None else f"by the rows of ISO 2768-{job.tolerance_class}"
    )


def _form(job: Job, one: Inspection) -> str:
    """Only sizes that tell something of cutter and machine; the page has the others."""
    notes = [
        f"Measured sizes of {job.name}, {_which(one)}. The numbers are those of the inspection sheet. Directions are the sheet's own,",
        "places behind # those of the drawing.",
        "`kerfwright make` leaves this file alone as soon as a size is written in it; without it the next run writes a blank one.",
    ]
    notes += [
        f"not asked here, as it ends in a corner or a curve: {row.name}" for row in one.rows if not row.size.square
    ]
    return form([_blank(row) for row in one.rows if row.size.square], notes)


def _blank(row: Row) -> Blank:
    return Blank(
        name=row.name,
        kind=row.size.kind,
        nominal=row.size.nominal,
        along=row.along,
        what=_where(row),
        tolerance=(row.lower - row.size.nominal, row.upper - row.size.nominal),
        cutter=None if row.cutter is None else row.cutter.name,
        cut_at=None if row.cutter is None else row.cutter.cuts,
    )


def _where(row: Row) -> str:
    if row.size.round and row.size.kind == "inside":
        return f"at {_place(row.size.middle)}"
    return f"{_place(row.size.ends[0])} to {_place(row.size.ends[1])}"


def _place(at: tuple[float, float]) -> str:
    return ", ".join(number(round(v, 2)) for v in at)


def _page(result: Result, one: Inspection, file: str) -> str:
    job = result.job
    title = f"Inspection: {job.name}, {one.part}"
    before = "".join(f"<li>{escape(v)}</li>" for v in BEFORE)
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(title)}</title><style>{STYLE}{OWN}</style></head><body>\n'
        f"<h1>{escape(one.part)} <small>inspection of the first piece</small></h1>{_head(result, one)}"
        f'<div class="caution"><ul>{before}</ul></div>\n<h2>Which size is which</h2><div class=keep>{numbered_picture(one.drawing, one.rows)}</div>\n'
        f"<h2>Sizes in mm</h2>{_table(one)}\n{_verdicts(one)}"
        f"<p>Write the sizes into <code>{escape(file)}</code> by their numbers, then <code>kerfwright adjust {escape(file)} --job JOB</code> tells "
        f"what the cutter really cuts, and whether each size conforms with your own uncertainty.</p>\n</body></html>\n"
    )


def _head(result: Result, one: Inspection) -> str:
    """Title block: the data fields of ISO 7200 that a job has, the others to fill in by hand."""
    rows = (
        ("Title", f"{result.job.name}, {one.part}", "Document", "inspection sheet"),
        ("Piece", _which(one), "Limits", _limits(result.job)),
        ("Made by", f"kerfwright {result.version}", "Instrument, its U", ""),
        ("Measured by", "", "Date", ""),
    )
    body = "".join(
        f"<tr>{''.join(f'<{t}>{escape(v)}</{t}>' for t, v in zip(('th', 'td', 'th', 'td'), r, strict=True))}</tr>"
        for r in rows
    )
    return f"<table>{body}</table>"


def _table(one: Inspection) -> str:
    head = ("No.", "Size", "Along", "Nominal", "Least", "Most", "Conforms from, to", "Measured", "")
    wide = len(head) + 1
    body = ""
    for (noun, nominal, alike), some in groupby(
        one.rows, key=lambda r: (r.size.noun, f"{r.size.nominal:.2f}", r.size.alike)
    ):
        rows = list(some)
        if alike > 1:
            sign = "Ø" if rows[0].size.round else ""
            few = "" if alike == len(rows) else f", {len(rows)} of them to measure"
            text = f"{alike} × {sign}{float(nominal):g} mm, {noun}{few}"
            body += f'<tr class="alike"><td colspan="{wide}">{escape(text)}</td></tr>'
        body += "".join(map(_row, rows))
    top = "".join(f"<th{' colspan=2' if h.startswith('Conforms') else ''}>{h}</th>" for h in head)
    return f"<table><tr>{top}</tr>{body}</table>"


def _row(row: Row) -> str:
    size, zone = row.size, row.zone(CALIPER)
    along = {0.0: "X", 90.0: "Y"}.get(size.along, f"{size.along:.2f}°")
    name = f"Ø {size.noun}" if size.round else size.noun
    numbers = [f"{size.nominal:.3f}", f"{row.lower:.3f}", f"{row.upper:.3f}"]
    numbers += ["-", "-"] if zone is None else [f"{zone[0]:.3f}", f"{zone[1]:.3f}"]
    cells = "".join(f"<td class=n>{v}</td>" for v in numbers)
    notes = [
        row.note,
        _where(row) if size.kind == "centers" else "",
        "" if size.square else "ends in a corner or curve: not in the form",
    ]
    return (
        f"<tr><td class=n>{row.number}</td><td>{escape(name)}</td><td>{along}</td>{cells}<td class=in></td>"
        f"<td><small>{escape('; '.join(n for n in notes if n))}</small></td></tr>"
    )


def _verdicts(one: Inspection) -> str:
    """The decision rules in words; for which sizes the instrument does not suffice."""
    text = (
        f"ISO 14253-1: a size conforms where it lies within its limits less U, the expanded uncertainty (k = 2) of the measuring; it does not "
        f"where it lies beyond them by more than U; between the two nothing is proved: measure better. The columns hold for "
        f"U = {CALIPER:g} mm, a hundredth caliper in a steady hand (common practice); with another instrument take its own."
    )
    tight = [str(r.number) for r in one.rows if r.zone(CALIPER) is None]
    if tight:
        text += f" No caliper proves {', '.join(tight)}: U is as large as the tolerance."
    return f"<p><small>{escape(text)}</small></p>"
