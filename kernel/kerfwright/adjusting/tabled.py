"""Comma or semicolon separated text to the same nodes as YAML, so that one reader tells the faults of both.

Lines before the head may say `units`, `uncertainty` and `tolerance`, a key and a value each; the head names the columns of
the lines below it. Empty lines, and those that begin with #, are passed over. The format is RFC 4180 with either separator.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from kerfwright.errors import Fault, InputError
from kerfwright.jobfile.nodes import MOST_BYTES, Mapped, Node, Scalar, Sequenced

__all__ = ["table"]

HEAD = "kind"
"""The column by which the head is known."""


def table(data: bytes, file: str) -> Mapped:
    """The mapping that a YAML file would say. Raises InputError with every line that cannot be told apart."""
    if len(data) > MOST_BYTES:
        raise InputError([Fault("", f"found {len(data)} bytes, allowed: at most {MOST_BYTES}", file)])
    try:
        lines = data.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise InputError([Fault("", "found bytes that are no text, allowed: text in UTF-8", file)]) from None
    separator = ";" if any(";" in line for line in lines) else ","
    faults: list[Fault] = []
    top: list[tuple[Scalar, Node]] = []
    rows: list[Node] = []
    head: list[Scalar] = []
    for number, line in enumerate(lines, 1):
        if not line.strip(f" \t{separator}") or line.lstrip().startswith("#"):
            continue
        cells = _cells(line, number, separator)
        if cells is None:
            message = "found a quotation mark that is not closed in its line, or text after it, allowed: plain cells"
            faults.append(Fault("", message, file, number, 1))
        elif head:
            rows.append(_row(cells, head, faults, file))
        elif any(c.text == HEAD for c in cells):
            head = cells
            faults += _twice(head, file)
        else:
            top += _said(cells, faults, file)
    faults += _twice([key for key, _ in top], file)
    if not head and not faults:
        faults.append(Fault("", f"found no line that names the columns, allowed: one with a column {HEAD!r}", file))
    if faults:
        raise InputError(faults)
    return Mapped(1, 1, (*top, (Scalar(head[0].line, 1, "sizes", False), Sequenced(head[0].line, 1, tuple(rows)))))


def _cells(line: str, number: int, separator: str) -> list[Scalar] | None:
    """The cells of a line, without blanks around them."""
    each = re.compile(rf'[ \t]*(?:"((?:[^"]|"")*)"|([^"{separator}]*))[ \t]*(?:{separator}|$)')
    out, at = [], 0
    while at <= len(line):
        found = each.match(line, at)
        if found is None:
            return None
        quoted = found[1] is not None
        text = found[1].replace('""', '"') if quoted else found[2].strip()
        blank = len(line[at:]) - len(line[at:].lstrip(" \t"))
        out.append(Scalar(number, at + blank + 1, text, False))
        at = found.end() if line[found.end() - 1 : found.end()] == separator and found.end() > at else len(line) + 1
    return out


def _row(cells: Sequence[Scalar], head: Sequence[Scalar], faults: list[Fault], file: str) -> Node:
    """One size; empty cells are left out."""
    extra = [c for c in cells[len(head) :] if not c.empty]
    if extra:
        message = f"found {len(cells)} cells under a head of {len(head)}, allowed: at most as many"
        faults.append(Fault("", message, file, extra[0].line, extra[0].column))
    pairs = [(Scalar(c.line, c.column, h.text, False), c) for h, c in zip(head, cells, strict=False) if not c.empty]
    return Mapped(cells[0].line, cells[0].column, tuple(p for p in pairs if p[0].text))


def _said(cells: Sequence[Scalar], faults: list[Fault], file: str) -> list[tuple[Scalar, Node]]:
    """A line before the head: a key and its value."""
    filled = [c for c in cells if not c.empty]
    if len(filled) != 2:
        message = f"found {len(filled)} cells, allowed: before the line that names the columns, a key and its value"
        faults.append(Fault("", message, file, cells[0].line, cells[0].column))
        return []
    return [(filled[0], filled[1])]


def _twice(keys: Sequence[Scalar], file: str) -> list[Fault]:
    first = {k.text: k for k in reversed(keys)}
    return [
        Fault(k.text, f"found {k.text!r} a second time, allowed: once", file, k.line, k.column)
        for k in keys
        if k.text and first[k.text] is not k
    ]
