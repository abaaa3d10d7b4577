"""The list of operations: one-key mappings of the kind to its parameters."""

from __future__ import annotations

import inspect
from functools import partial
from typing import TYPE_CHECKING, Any

import attrs

from kerfwright import fields
from kerfwright.fields import Spec
from kerfwright.jobfile import fragments
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.missing import missing
from kerfwright.jobfile.nodes import Mapped, Node, Refused, Scalar
from kerfwright.jobfile.reading import BAD, join
from kerfwright.jobfile.words import nearest, shown
from kerfwright.operation import Drill, Operation

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["depth", "depth_schema", "operations", "operations_schema"]


def operations(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """All operations, in the file's order."""
    kinds = ", ".join(sorted(reader.registry.operations))
    out = reader.sequence(node, path, lambda n, p: _one(reader, n, p), f"a list of one-key mappings: {kinds}")
    if out == ():
        return reader.fault(node, path, f"found a list of 0, allowed: at least one of {kinds}")
    return out


def _one(reader: JobReader, node: Node, path: str) -> Any:
    kinds = sorted(reader.registry.operations)
    if isinstance(node, Refused):
        return BAD
    if not isinstance(node, Mapped) or len(node.pairs) != 1:
        found = f"{len(node.pairs)} keys" if isinstance(node, Mapped) else shown(node)
        return reader.fault(node, path, f"found {found}, allowed: a mapping of one key: {', '.join(kinds)}")
    key, value = node.pairs[0]
    cls = reader.registry.operations.get(key.text)
    if cls is None:
        found = f"{shown(key)}{missing('operation', key.text)}"
        return reader.fault(key, path, f"found {found}, allowed: {', '.join(kinds)}{nearest(key.text, kinds)}")
    here = join(path, key.text)
    out = reader.mapping(value, cls, here)
    if isinstance(value, Mapped):
        _depths(reader, value, here, cls)
    if out is not BAD and isinstance(value, Mapped):
        return _fit(reader, value, here, out)
    return out


def _depths(reader: JobReader, node: Mapped, path: str, cls: type[Operation]) -> None:
    """Only what goes through by nature may leave its depth out."""
    if _says_depth(cls) and node.get("depth") is None:
        reader.fault(node, join(path, "depth"), "found nothing, allowed: `through`, or a number above 0 mm")


def _says_depth(cls: type[Operation]) -> bool:
    takes = any(s.of == "depth" for a in attrs.fields(cls) if (s := fields.spec(a)))
    return takes and cls.kind not in ("profile", "drill")


def _fit(reader: JobReader, node: Mapped, path: str, out: Operation) -> Any:
    """The cutter's form suits the operation, and material begins above the depth."""
    forms = out.forms
    if isinstance(out, Drill) and out.cycle is not None and out.cycle.wide:
        forms = ("end_mill",)
    if out.cutter.form not in forms:
        text = (
            f"found {out.cutter.name!r}, which is of form {out.cutter.form}, allowed: one of form {' or '.join(forms)}"
        )
        return reader.fault(node.get("cutter"), join(path, "cutter"), text)
    if out.depth is not None and out.start >= out.depth:
        text = f"found {out.start:g} mm, allowed: less than the depth, {out.depth:g} mm"
        return reader.fault(node.get("from"), join(path, "from"), text)
    return out


def depth(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """None for `through`, or a positive depth."""
    if isinstance(node, Scalar) and node.text == "through":
        return None
    if isinstance(node, Scalar) and node.text[:1].isalpha():
        near = nearest(node.text, ["through"])
        return reader.fault(node, path, f"found {shown(node)}, allowed: `through`, or a number above 0 mm{near}")
    return reader.scalar(node, Spec("number", "", "mm", above=0), path)


def operations_schema(schemas: Schemas, _: str) -> Fragment:
    """As `operations` reads it."""
    kinds = sorted(schemas.registry.operations)
    one = {
        "type": "object",
        "minProperties": 1,
        "maxProperties": 1,
        "additionalProperties": False,
        "properties": {kind: schemas.shared(f"operation-{kind}", partial(_schema, schemas, kind)) for kind in kinds},
    }
    return fragments.listed(one, 1) | {"description": f"a list of one-key mappings: {', '.join(kinds)}"}


def _schema(schemas: Schemas, kind: str) -> Fragment:
    cls = schemas.registry.operations[kind]
    out = schemas.mapping(cls) | {"description": inspect.getdoc(cls) or kind}
    if _says_depth(cls):
        out["required"] = [*out.get("required", ()), "depth"]
    return out


def depth_schema(_: Schemas, __: str) -> Fragment:
    """As `depth` reads it."""
    either: list[Fragment] = [{"const": "through"}, fragments.number(Spec("number", "", "mm", above=0))]
    return {"anyOf": either, "description": "`through`, or a number above 0 mm"}
