"""Machine, material and cutters: names from the tables, or mappings."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import attrs

from kerfwright.cutter import Cutter
from kerfwright.fields import Spec
from kerfwright.jobfile import fragments
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.nodes import Mapped, Node, Refused, Scalar
from kerfwright.jobfile.output import unknown_dialect
from kerfwright.jobfile.reading import BAD, join
from kerfwright.jobfile.words import shown
from kerfwright.machine import Machine
from kerfwright.material import Material

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = [
    "cutter",
    "cutter_schema",
    "cutters",
    "cutters_schema",
    "machine",
    "machine_schema",
    "material",
    "material_schema",
]

NAME = r"[A-Za-z0-9_-][A-Za-z0-9_.-]{0,31}"
"""A cutter's name in a job: it names programs."""


def _tabled(reader: JobReader, node: Node, path: str, shelf: Any, noun: str, cls: type, **how: Any) -> Any:
    """A name, or a mapping whose `base` is a name."""
    if not isinstance(node, Mapped):
        if isinstance(node, Scalar):
            return reader.named(node, path, shelf, noun)
        return reader.fault(node, path, f"found {shown(node)}, allowed: {noun}, or a mapping")
    base = node.get("base")
    from_table = None if base is None else reader.named(base, join(path, "base"), shelf, noun)
    return reader.mapping(node, cls, path, base=from_table, extra=("base",), **how)


def material(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """A sheet material; what the job says of it has the job as its source."""
    out = _tabled(reader, node, path, reader.tables.materials, "a material", Material)
    if out is BAD or not isinstance(node, Mapped):
        return out
    said = {key.text: "the job file" for key, _ in node.pairs if key.text != "base"}
    kept = {key: source for key, source in out.sources.items() if re.split(r"[.\[]", key)[0] not in said}
    return attrs.evolve(out, sources=kept | said)


def machine(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """The router."""
    out = _tabled(reader, node, path, reader.tables.machines, "a machine", Machine)
    if out is not BAD and isinstance(out.dialect, str) and out.dialect not in reader.registry.dialects:  # by a table
        return unknown_dialect(reader, node, join(path, "dialect"), out.dialect)
    return out


def cutters(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """The job's cutters by their names there; one without a number gets the least that is free, in the file's order."""
    if not isinstance(node, Mapped) or not node.pairs:
        return reader.fault(node, path, f"found {shown(node)}, allowed: a mapping of names to cutters")
    numbered: dict[int, str] = {}
    for key, value in node.pairs:
        reader.cutters[key.text] = _one(reader, key, value, join(path, key.text), numbered)
    free = (n for n in range(1, 100) if n not in numbered)
    for name, one in reader.cutters.items():
        if one is not BAD and name not in numbered.values():
            reader.cutters[name] = attrs.evolve(one, number=next(free, 99))
    if len(node.pairs) > 99:
        return reader.fault(node, path, f"found {len(node.pairs)} cutters, allowed: at most 99")
    return BAD if any(c is BAD for c in reader.cutters.values()) else dict(reader.cutters)


def _one(reader: JobReader, key: Scalar, node: Node, path: str, numbered: dict[int, str]) -> Any:
    reader.marks[path] = (node.line, node.column)
    if isinstance(node, Refused):
        return BAD
    name = reader.scalar(key, Spec("text", "a cutter's name"), path)
    if name is not BAD and not re.fullmatch(NAME, name):
        allowed = "letters a to z, digits, - _ and ., at most 32, for it names programs"
        return reader.fault(key, path, f"found the name {shown(key)}, allowed: {allowed}")
    if name is BAD:
        return BAD
    out = _tabled(reader, node, path, reader.tables.cutters, "a cutter", Cutter, given={"name": name})
    if out is BAD:
        return BAD
    out = attrs.evolve(out, name=name)
    said = node.get("number") if isinstance(node, Mapped) else None
    if said is not None:
        if out.number in numbered:
            text = f"found {out.number}, which is {numbered[out.number]}'s, allowed: a number of its own"
            return reader.fault(said, join(path, "number"), text)
        numbered[out.number] = name
    return _pointed(reader, node, path, out)


def _pointed(reader: JobReader, node: Node, path: str, out: Cutter) -> Any:
    """A drill says its point, as depth counts at its full diameter; an end mill has none."""
    said = isinstance(node, Mapped) and any(node.get(key) for key in ("point_angle", "base"))
    if out.form == "drill" and isinstance(node, Mapped) and not said:
        text = "found nothing, allowed: a number above 0 and at most 180 deg: a through hole goes deeper by the point"
        return reader.fault(node, join(path, "point_angle"), text)
    if out.form == "end_mill" and out.point_angle < 180:
        at = node.get("point_angle") if isinstance(node, Mapped) else None
        text = "found a point, allowed: only on a drill or a chamfer_mill"
        return reader.fault(at or node, join(path, "point_angle"), text)
    return out


def cutter(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """One of the job's cutters, by its name there."""
    if not reader.cutters and not isinstance(node, Mapped):
        return BAD  # the job's cutters are told already
    return reader.named(node, path, reader.cutters, "one of the job's cutters")


def _tabled_schema(schemas: Schemas, shelf: Iterable[str], noun: str, cls: type, **how: Any) -> Fragment:
    name = fragments.choice(sorted(shelf)) if shelf else {"not": {}}
    base = name | {"description": f"{noun} of a table; only what differs is said"}
    mapping = schemas.mapping(cls, base=True, extra={"base": base}, **how)
    return {"anyOf": [name, mapping], "description": f"{noun} by name, or a mapping, its `base` a name"}


def material_schema(schemas: Schemas, _: str) -> Fragment:
    """As `material` reads it."""
    return schemas.shared("material", lambda: _tabled_schema(schemas, schemas.tables.materials, "a material", Material))


def machine_schema(schemas: Schemas, _: str) -> Fragment:
    """As `machine` reads it."""
    return schemas.shared("machine", lambda: _tabled_schema(schemas, schemas.tables.machines, "a machine", Machine))


def cutters_schema(schemas: Schemas, _: str) -> Fragment:
    """As `cutters` reads it."""
    return {
        "type": "object",
        "minProperties": 1,
        "maxProperties": 99,
        "propertyNames": {"pattern": f"^{NAME}$"},
        "additionalProperties": schemas.shared("cutter", lambda: _cutter_schema(schemas)),
        "description": "a mapping of names to cutters",
    }


def _cutter_schema(schemas: Schemas) -> Fragment:
    out = _tabled_schema(schemas, schemas.tables.cutters, "a cutter", Cutter, without=("name",))
    drill = {"required": ["form"], "properties": {"form": {"const": "drill"}, "base": False}}
    return out | {"if": {"type": "object", **drill}, "then": {"required": ["point_angle"]}}


def cutter_schema(_: Schemas, __: str) -> Fragment:
    """As `cutter` reads it."""
    return fragments.text() | {"description": "the name of one of the job's cutters"}
