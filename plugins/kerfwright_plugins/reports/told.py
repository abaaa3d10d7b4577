"""What the proof told besides, each with a link to its picture."""

from __future__ import annotations

from html import escape

from kerfwright.finding import Finding
from kerfwright.places import pictured
from kerfwright.result import Result

__all__ = ["told"]


def told(result: Result) -> str:
    """Warnings and notes; nothing where there are none."""
    pictures = pictured(result)
    rows = [
        f"<li>{escape(f.severity)}: {escape(f.message)}{_remedy(f)}{f' (<a href={chr(34)}{pictures[k]}{chr(34)}>{pictures[k]}</a>)' if k in pictures else ''}</li>"
        for k, f in enumerate(result.findings)
    ]
    return f"<h2>Told by the proof</h2><ul>{''.join(rows)}</ul>" if rows else ""


def _remedy(f: Finding) -> str:
    return f". To do: {escape(f.remedy)}." if f.remedy and f.severity != "note" else ""
