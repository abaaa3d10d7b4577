"""An entry of a table: each value with its source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

import attrs

from kerfwright import fields
from kerfwright.explaining.explanation import Explanation, Value
from kerfwright.explaining.wording import flow
from kerfwright.jobfile.schemas import Schemas
from kerfwright.saying import as_said, unit_of

__all__ = ["SHELVES", "entry"]

SHELVES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "materials": ("material", "sheet: {{material: {one}}}"),
        "cutters": ("cutter", "cutters: {{{job}: {one}}}"),
        "machines": ("machine", "machine: {one}"),
    }
)
"""The shelves of tables: what one thing is called, and how a job names it."""


def entry(schemas: Schemas, shelf: str, name: str) -> Explanation:
    """One material, cutter or machine."""
    thing = getattr(schemas.tables, shelf)[name]
    noun, example = SHELVES[shelf]
    title, job = getattr(thing, "title", ""), getattr(thing, "form", "").rpartition("_")[2]
    return Explanation(
        kind=noun,
        name=name,
        text=(title,) if title else (),
        facts=(
            ("yours", "where it is different, a job gives a mapping: this name as `base`, and beside it what differs"),
        ),
        values=tuple(_values(thing, f"{shelf}.{name}.", schemas.tables.sources, "", given=("name",))),
        example="\n".join(example.format(one=one, job=job) for one in (flow(name), flow({"base": name}))),
    )


def _values(
    thing: Any, path: str, sources: Mapping[str, str], inside: str, given: tuple[str, ...] = ()
) -> Iterator[Value]:
    for attribute in attrs.fields(type(thing)):
        what = fields.spec(attribute)
        if what is None or attribute.name in given:
            continue
        key, value = inside + (what.key or attribute.name), getattr(thing, attribute.name)
        if what.kind == "nested" and value is not None:
            yield from _values(value, path, sources, f"{key}.")
        elif what.kind == "listed":
            for k, row in enumerate(value):
                yield from _values(row, path, sources, f"{key}[{k}].")
        else:
            said = sources.get(path + key, "")
            source = said or ("" if value is None else "not said in the table: the default")
            yield Value(key=key, help=what.help, value=as_said(value), unit=_unit(what), source=source)


def _unit(what: fields.Spec) -> str:
    unit = unit_of(what)
    return "" if unit == "1" else unit
