"""An explanation as text of at most 100 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

from kerfwright.explaining.explanation import Explanation, Parameter, Value
from kerfwright.explaining.wording import flow
from kerfwright.units import unit_words

__all__ = ["WIDE", "page"]

WIDE = 100
OWN = "kerfwright: "
"""How the origin of what kerfwright itself brings begins."""


def page(one: Explanation) -> str:
    """Heading, text, facts; then parameters, values, rules and an example, as far as it has them."""
    return "\n".join(line.rstrip() for line in _lines(one)) + "\n"


def _lines(one: Explanation) -> Iterator[str]:
    foreign = f" [{one.origin}]" if one.origin and not one.origin.startswith(OWN) else ""
    yield from _wrapped(f"{one.name}: {one.kind}{foreign}", "", "  ")
    for paragraph in one.text:
        yield from _wrapped(paragraph, "  ", "  ")
    yield from _columns([(word, [text]) for word, text in one.facts])
    if one.installed:
        yield "installed"
        rows = [(n.name, f"{n.help}{'' if n.origin.startswith(OWN) else f' [{n.origin}]'}") for n in one.installed]
        yield from _columns([(name, [text]) for name, text in rows])
    if one.parameters:
        yield "parameters"
        yield from _columns([(p.key, [p.help, _takes(p)]) for p in one.parameters])
    if one.values:
        yield "values"
        yield from _columns(
            [(v.key, [_shown(v), f"{v.help}{f'; source: {v.source}' if v.source else ''}"]) for v in one.values]
        )
    if one.rules:
        yield "rules"
        for rule in one.rules:
            yield from _wrapped(f"{rule.rule} [{rule.source}]", "  - ", "    ")
    if one.example:
        yield "for example (the form, not advice)" if one.parameters else "for example"
        for line in one.example.split("\n"):
            yield from _wrapped(line, "  ", "    ")
    units = sorted({p.unit for p in one.parameters if unit_words(p.unit) and not p.fixed})
    if units:
        yield "units"
        yield from _wrapped("plain numbers are in the job's units, a text may say its own:", "  ", "  ")
        yield from _columns([(unit, [", ".join(unit_words(unit))]) for unit in units])


def _takes(p: Parameter) -> str:
    """Range, default and example of a parameter."""
    if p.fixed:
        return "no key: it has no other" + ("" if p.default is None else f" than {_value(p.default, p.unit)}")
    words = [p.allowed] if p.allowed != p.help else []
    if p.needed:
        words.append("must be said")
    elif p.default is not None:
        words.append(f"default: {_value(p.default, p.unit)}")
    else:
        words.append(f"left out: {p.otherwise}" if p.otherwise else "may be left out")
    if p.example is not None:
        words.append(f"for example {_value(p.example, p.unit)}")
    return "; ".join(words)


def _value(value: Any, unit: str) -> str:
    number = isinstance(value, int | float | list) and not isinstance(value, bool) and value != []
    return flow(value) + (f" {unit}" if number and unit else "")


def _shown(v: Value) -> str:
    return "not given" if v.value is None else _value(v.value, v.unit)


def _columns(rows: list[tuple[str, list[str]]]) -> Iterator[str]:
    """A word, and beside it texts, each on lines of its own."""
    wide = min(max((len(word) for word, _ in rows), default=0), 30)
    for word, texts in rows:
        head = f"  {word:<{wide}}  "
        for text in texts:
            yield from _wrapped(text, head, " " * (wide + 4))
            head = " " * (wide + 4)


def _wrapped(text: str, first: str, then: str) -> list[str]:
    lines = textwrap.wrap(
        text, WIDE, initial_indent=first, subsequent_indent=then, break_long_words=False, break_on_hyphens=False
    )
    return lines or [first]
