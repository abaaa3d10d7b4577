"""Layers on which a job wants open lines, seen before its drawings are read: those that an operation which follows lines names."""

from __future__ import annotations

from collections.abc import Iterator

from kerfwright.jobfile.nodes import Mapped, Node, Scalar, Sequenced
from kerfwright.registry import Registry

__all__ = ["open_layers"]


def open_layers(root: Node, registry: Registry) -> tuple[str, ...]:
    """In the file's order. What is wrong with the file is told where it is read."""
    said = root.get("operations") if isinstance(root, Mapped) else None
    found: list[str] = []
    for one in said.items if isinstance(said, Sequenced) else ():
        for key, value in one.pairs if isinstance(one, Mapped) else ():
            kind = registry.operations.get(key.text)
            select = value.get("select") if isinstance(value, Mapped) else None
            if kind is not None and kind.follows_lines and select is not None:
                found += _layers(select)
    return tuple(dict.fromkeys(found))


def _layers(node: Node) -> Iterator[str]:
    if isinstance(node, Sequenced):
        for one in node.items:
            yield from _layers(one)
    layer = node.get("layer") if isinstance(node, Mapped) else None
    if isinstance(layer, Scalar):
        yield layer.text
