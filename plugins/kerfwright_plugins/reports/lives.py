"""How much of each cutter's life is used, and when it is changed next."""

from __future__ import annotations

from html import escape

from kerfwright.ledger.lives import what_is_left
from kerfwright.result import CutterUse, Result

__all__ = ["lives"]


def lives(result: Result) -> str:
    """A row for each cutter; nothing where no life is known and no ledger was read."""
    uses = [u for u in result.cutters if u.left_m is not None or u.total_m * 1000 > u.cut_length_mm + 1]
    if not uses:
        return ""
    head = "".join(f"<th>{h}</th>" for h in ("Cutter", "Cuts here (m)", "In all (m)", "Life used", "To do"))
    return (
        f"<div class=keep><h2>Cutters</h2><table><tr>{head}</tr>{''.join(_row(u, result.job.cutters[u.name].life) for u in uses)}</table>"
        "<small>Life is counted where the flute does most of this job. An edge that tears, squeals or burns is worn, whatever is left.</small></div>"
    )


def _row(u: CutterUse, life: float | None) -> str:
    used = "not known" if u.life_used is None else f"{u.life_used:.0%}"
    left = "look at its edge" if life is None else what_is_left(u, life)
    cells = (f"{u.cut_length_mm / 1000:.2f}", f"{u.total_m:.2f}", used)
    numbers = "".join(f"<td class=n>{escape(c)}</td>" for c in cells)
    return f"<tr><td>{escape(u.name)}</td>{numbers}<td>{escape(left)}</td></tr>"
