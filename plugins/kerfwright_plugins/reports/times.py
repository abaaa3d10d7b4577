"""Table of the run sheet: how long each operation takes, and each program."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from kerfwright.outlines.chains import counted
from kerfwright.result import ProgramText, Result
from kerfwright.setup import Setup

__all__ = ["heading", "minutes", "remark", "times"]


def minutes(seconds: float) -> str:
    """Minutes and seconds.

    >>> minutes(59.6), minutes(125.2)
    ('1:00', '2:05')
    """
    whole = int(seconds + 0.5)
    return f"{whole // 60}:{whole % 60:02d}"


def times(result: Result, setup: Setup) -> str:
    """Of the programs of one sheet; the numbers of operations are those of the table of rates."""
    mine = [p for p in result.programs if p.sheet == setup.number and p.operations]
    if not mine:
        return ""
    rows = "".join(_program(p, setup) for p in mine)
    return (
        f"<div class=keep><h2>Sheet {setup.number}: times</h2><table><tr><th>File</th><th></th><th>Operation</th><th>Cutter</th>"
        f"<th>{heading(mine)}</th></tr>{rows}</table></div>"
    )


def _program(p: ProgramText, setup: Setup) -> str:
    numbers = {w.path: w.index + 1 for w in setup.works}
    kinds = {w.path: w.operation.kind for w in setup.works}
    rows = [
        (numbers.get(o.operation, ""), kinds.get(o.operation, o.operation), o.cutter, minutes(o.time_s))
        for o in p.operations
    ]
    rest = p.time_s - sum(o.time_s for o in p.operations)
    rows.append(("", "way to the first place, spindle, between operations", "", minutes(rest)))
    cells = "".join(
        f"<tr>{f'<td rowspan={len(rows) + 1}>{escape(p.file)}</td>' if k == 0 else ''}<td>{number}</td><td>{escape(kind)}</td>"
        f"<td>{escape(cutter)}</td><td class=n>{took}</td></tr>"
        for k, (number, kind, cutter, took) in enumerate(rows)
    )
    return cells + f"<tr><td></td><td><b>together</b></td><td></td><td class=n><b>{minutes(p.time_s)}</b></td></tr>"


def heading(programs: Sequence[ProgramText]) -> str:
    """Of a column of times."""
    return "Time at least (min:s)" if any(p.time_kind == "least" for p in programs) else "Time (min:s)"


def remark(programs: Sequence[ProgramText]) -> str:
    """What the times of programs hold, and what comes on top."""
    total = minutes(sum(p.time_s for p in programs))
    stops = sum(p.times.waits.stops for p in programs if p.times)
    by_hand = sum(p.times.waiting_s for p in programs if p.times)
    change = f" and about {minutes(by_hand)} min of cutter changes" if by_hand else ""
    top = f"{counted(stops, 'stop')} for the operator{change}"
    if any(p.time_kind == "least" for p in programs):
        return f"Together at least {total} min, as the machine does not say its acceleration; {top} come on top."
    return f"Together {total} min by feed, rapids and acceleration of the machine; {top} come on top."
