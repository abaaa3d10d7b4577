"""Strategies: a name, or a one-key mapping of a name to its parameters; bridges by their parameters alone."""

from __future__ import annotations

from typing import Any

from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.later import not_yet
from kerfwright.jobfile.nodes import Mapped, Node, Scalar
from kerfwright.jobfile.reading import join
from kerfwright.jobfile.words import nearest, shown

__all__ = ["strategy"]


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
        name = next((k.text for k, _ in node.pairs if k.text in names), "spacing")
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
    return reader.fault(at, path, f"found {found}{not_yet(kind, name)}, allowed: {known}{near}")
