"""Strategies: a name, or a one-key mapping of a name to its parameters; bridges by their parameters alone."""

from __future__ import annotations

import inspect
from typing import TYPE_CHECKING, Any

from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.missing import missing
from kerfwright.jobfile.nodes import Mapped, Node, Scalar
from kerfwright.jobfile.reading import join
from kerfwright.jobfile.words import nearest, shown
from kerfwright.saying import summary

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["strategy", "strategy_schema"]

DEFAULT = "spacing"
"""Bridges whose parameters are not named by any of them."""


def strategy(reader: JobReader, node: Node, path: str, kind: str) -> Any:
    """The strategy with its parameters, or BAD."""
    names = [n for k, n in reader.registry.strategies if k == kind]
    if isinstance(node, Scalar):
        return _made(reader, node, Mapped(node.line, node.column, ()), path, kind, node.text)
    if not isinstance(node, Mapped) or not node.pairs:
        return reader.fault(
            node, path, f"found {shown(node)}, allowed: a name or a one-key mapping: {', '.join(names)}"
        )
    key, value = node.pairs[0]
    if kind == "bridges" and not (len(node.pairs) == 1 and isinstance(value, Mapped)):
        name = next((k.text for k, _ in node.pairs if k.text in names), DEFAULT)
        return _made(reader, node, node, path, kind, name)
    if len(node.pairs) > 1:
        text = f"found {len(node.pairs)} keys ({', '.join(k.text[:20] for k, _ in node.pairs[:4])}), allowed: one, a name of: "
        return reader.fault(node, path, text + ", ".join(sorted(names)))
    if isinstance(value, Scalar) and value.empty:
        value = Mapped(value.line, value.column, ())
    return _made(reader, key, value, path, kind, key.text, join(path, key.text))


def _made(reader: JobReader, at: Node, values: Node, path: str, kind: str, name: str, inner: str = "") -> Any:
    cls = reader.registry.strategies.get((kind, name))
    if cls is not None:
        return reader.mapping(values, cls, inner or path)
    names = sorted(n for k, n in reader.registry.strategies if k == kind)
    found = shown(at) if isinstance(at, Scalar) else repr(name)
    known = ", ".join(names) or f"no {kind} is installed"
    near = nearest(name, names)
    return reader.fault(at, path, f"found {found}{missing(kind, name)}, allowed: {known}{near}")


def strategy_schema(schemas: Schemas, kind: str) -> Fragment:
    """As `strategy` reads it."""
    return schemas.shared(f"strategy-{kind}", lambda: _schema(schemas, kind))


def _schema(schemas: Schemas, kind: str) -> Fragment:
    names = {name: cls for (k, name), cls in sorted(schemas.registry.strategies.items()) if k == kind}
    first = {name: summary(cls) for name, cls in names.items()}
    forms = {name: schemas.mapping(cls) | {"description": inspect.getdoc(cls) or ""} for name, cls in names.items()}
    either = [{"const": name, "description": first[name]} for name, form in forms.items() if not form.get("required")]
    keyed = forms
    if kind != "bridges":  # where nothing is needed, nothing need be said
        keyed = {n: f if f.get("required") else f | {"type": ["object", "null"]} for n, f in forms.items()}
    one: Fragment = {"type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": False}
    either.append(one | {"properties": keyed})
    words = f"a name or a one-key mapping: {', '.join(names)}"
    if kind == "bridges":
        either += [_by_parameters(name, form) for name, form in forms.items() if name in (*form["properties"], DEFAULT)]
        words += ", or a mapping of their parameters alone, one of which is such a name"
    return {"anyOf": either, "description": words} if names else {"not": {}, "description": f"no {kind} is installed"}


def _by_parameters(name: str, form: Fragment) -> Fragment:
    """Bridges without their name, which one of their parameters has."""
    needed = [*form.get("required", ()), *([] if name == DEFAULT else [name])]
    return form | {"minProperties": 1} | ({"required": needed} if needed else {})
