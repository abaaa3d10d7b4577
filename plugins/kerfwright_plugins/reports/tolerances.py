"""Tables of the run sheet: what adds up against the tolerance, and how the pieces stand after a stop."""

from __future__ import annotations

from html import escape

from kerfwright.budget import Budget
from kerfwright.result import Result

__all__ = ["stopped", "tolerances"]


def tolerances(result: Result) -> str:
    """One table for all parts whose budgets are alike."""
    alike: dict[tuple[object, ...], list[Budget]] = {}
    for b in result.budgets:
        alike.setdefault((b.tolerance, b.entries), []).append(b)
    return "".join(_budget(some) for some in alike.values())


def _budget(some: list[Budget]) -> str:
    b = some[0]
    rows = "".join(
        f"<tr><td>{escape(e.cause)}</td><td class=n>{'not known' if e.most is None else f'{e.most:.4f}'}</td><td>{escape(e.source)}</td></tr>"
        for e in b.entries
    )
    total = f"<tr><th>known together</th><td class=n><b>{b.total:.4f}</b></td><td>tolerance asked for: {b.tolerance:g} mm</td></tr>"
    names = ", ".join(one.part for one in some)
    return (
        f"<div class=keep><h2>Tolerance budget: {escape(names)}</h2><table><tr><th>Cause</th><th>A wall moves by at most mm</th>"
        f"<th>Where it comes from</th></tr>{rows}{total}</table><small>What is not known comes on top: {escape(', '.join(b.unknown))}. "
        f"Measure the first piece.</small></div>"
    )


def stopped(result: Result) -> str:
    """Of a remainder: where it begins again, and which pieces are finished, doubtful, untouched."""
    r = result.resumed
    if r is None:
        return ""
    rows = "".join(
        f"<tr><td>{escape(p.name)}</td><td class=n>{p.copy}</td><td><b>{p.state}</b></td><td>{escape(p.why)}</td></tr>"
        for p in r.pieces
    )
    return (
        f"<h2>Remainder</h2><p>{escape(r.program)} stopped at line {r.at}. This remainder begins again with its line {r.begins}, above the "
        f"last place from which it came down at least {r.doubt_mm:g} mm of cut before that line. <b>It is for a sheet that has not been "
        f"moved</b>: zero of X and Y still true, Z touched off anew with the cutter that is in, all pieces of a broken cutter out of the "
        f"kerf. SHA-256 of the stopped program <code>{r.sha256}</code></p><table><tr><th>Piece</th><th>Copy</th><th>State</th><th></th></tr>"
        f"{rows}</table>"
    )
