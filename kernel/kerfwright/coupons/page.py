"""A page to print, of headings, lists and tables; text alone, everything escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape

__all__ = ["heading", "items", "page", "paragraph", "table"]

STYLE = (
    "body{font:15px/1.4 sans-serif;max-width:56em;margin:2em auto;padding:0 1em}table{border-collapse:collapse;margin:.6em 0}"
    "td,th{border:1px solid #777;padding:.4em .7em;text-align:left}td.number{text-align:right}td.blank{min-width:6.5em;height:1.6em}"
    "li{margin:.3em 0}pre{background:#eee;padding:.6em}@media print{body{margin:0}}"
)


def heading(text: str) -> str:
    """Of a section."""
    return f"<h2>{escape(text)}</h2>\n"


def paragraph(text: str) -> str:
    """One."""
    return f"<p>{_shown(text)}</p>\n"


def items(texts: Iterable[str]) -> str:
    """A list."""
    return "<ul>\n" + "".join(f"<li>{_shown(t)}</li>\n" for t in texts) + "</ul>\n"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Numbers stand on the right; what is empty is a blank to write in."""
    top = "".join(f"<th>{escape(t)}</th>" for t in head)
    return f"<table>\n<tr>{top}</tr>\n" + "".join(f"<tr>{''.join(map(_cell, r))}</tr>\n" for r in rows) + "</table>\n"


def _shown(text: str) -> str:
    """What stands between backquotes is typed as it stands.

    >>> _shown("`a < b` or c")
    '<code>a &lt; b</code> or c'
    """
    return re.sub("`([^`]*)`", r"<code>\1</code>", escape(text, quote=False))


def _cell(text: str) -> str:
    kind = " class=blank" if not text else " class=number" if text[0].isdigit() else ""
    return f"<td{kind}>{escape(text)}</td>"


def page(title: str, body: Iterable[str]) -> str:
    """The whole text of a file."""
    begin = f"<!doctype html><html lang=en><meta charset=utf-8><title>{escape(title)}</title><style>{STYLE}</style>\n"
    return begin + f"<h1>{escape(title)}</h1>\n" + "".join(body) + "</html>\n"
