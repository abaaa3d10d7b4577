"""What stands first on the run sheet: what was proved, on which text, and what was not."""

from __future__ import annotations

from html import escape

from kerfwright.hearing import confirmed
from kerfwright.outlines.chains import counted
from kerfwright.result import Result

__all__ = ["proved"]


def proved(result: Result) -> str:
    """Two boxes: the proof with its checks and the digest of every text; and what it takes for granted."""
    return f'<div class="proof">{_yes(result)}</div><div class="proof open">{_no(result)}</div>'


def _yes(result: Result) -> str:
    cutting = [p for p in result.programs if p.kind == "program"]
    gouge = max((p.worst_gouge_mm for p in result.parts), default=0.0)
    left = max((p.worst_leftover_mm for p in result.parts), default=0.0)
    names = ", ".join(name.replace("_", " ") for name in result.checks)
    texts = "".join(f"<li>{escape(p.file)} <code>{p.sha256}</code></li>" for p in result.programs)
    return (
        f"<b>Proved.</b> {counted(len(cutting), 'program')} and {counted(len(result.programs) - len(cutting), 'walk-round')} were read back from their own "
        f"text and held against the drawing and the job: no error. Worst place: {gouge:.3f} mm into a part, {left:.3f} mm left "
        f"standing, tolerance of a wall {result.job.tolerance:g} mm{_class(result)}.<br><b>{len(result.checks)} checks</b>: {escape(names)}.<br>"
        f"<b>Of these texts</b> (SHA-256), and of no others; a changed file is not proved until it is checked again:<ul>{texts}</ul>"
    )


def _class(result: Result) -> str:
    name = result.job.tolerance_class
    return "" if name is None else f", of sizes ISO 2768-{name}"


def _no(result: Result) -> str:
    rows = "".join(f"<li>{escape(text)}</li>" for text in _assumed(result))
    return f"<b>Not proved: taken for granted.</b> See to each of these before the start:<ul>{rows}</ul>"


def _varied(result: Result) -> str:
    """What of the dialect is not as its document has it."""
    said = ", ".join(f"{k} {str(v).lower() if isinstance(v, bool) else v}" for k, v in result.varied.items())
    return f" (varied: {said})" if said else ""


def _confirmed(result: Result) -> str:
    job = result.setups[0].job
    traits = None if isinstance(job.dialect, str) or job.dialect is None else job.dialect.traits
    if traits is not None and confirmed(traits, dict(job.machine.heard)):
        return "its answers to the hearing test say so"
    return "not yet confirmed on this machine (kerfwright coupon controller)"


def _assumed(result: Result) -> list[str]:
    job, s = result.job, result.job.sheet
    used = [c for c in job.cutters.values() if any(c in p.cutters for p in result.programs)]
    sizes = "; ".join(
        f"T{c.number} {c.name} cuts Ø{c.cuts:g} mm ({'measured' if c.measured is not None else 'as marked, not measured'})"
        for c in used
    )
    t = s.thickness
    thick = f"{t.least:g} to {t.most:g}" if t.least < t.most else f"{t.most:g}"
    zero = "the sheet's top" if s.zero.z == "sheet_top" else "the board, the face the sheet lies on"
    dialects = ", ".join(sorted({p.dialect for p in result.programs})) + _varied(result)
    out = [
        f"Sheet: {thick} mm thick everywhere, flat, held by {s.hold} as the job says.",
        f"Cutters: {sizes}." if sizes else "",
        f"Zero: X {s.zero.x}, Y {s.zero.y} of the sheet, Z touched off on {zero}.",
        f"Machine: that {job.machine.name or 'this machine'} does with the text what {dialects} means by it: {_confirmed(result)}.",
        "Bending of cutter and machine, wear, lost steps: what the budget below says of forces is an estimate, and nothing is known of "
        "the rest. Walk round first, cut a first piece in spare material, measure it.",
    ]
    if result.resumed is not None:
        out.insert(
            0,
            f"That the run stopped at line {result.resumed.at} of {result.resumed.program}, and all before its line {result.resumed.begins} was cut.",
        )
    return [text for text in out if text]
