"""YAML text to plain nodes that know their place. Data only: tags, anchors and aliases are refused, size is bounded."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import yaml
from attrs import frozen

from kerfwright.errors import Fault, InputError

__all__ = ["Mapped", "Node", "Refused", "Scalar", "Sequenced", "parse"]

MOST_BYTES = 1_000_000
MOST_DEPTH = 32
MOST_NODES = 50_000


@frozen
class Node:
    """Where a value stands: line and column, from 1."""

    line: int
    column: int


@frozen
class Scalar(Node):
    """One value as it is written. `quoted` tells '2' from 2."""

    text: str
    quoted: bool

    @property
    def empty(self) -> bool:
        """Nothing is said: left out, `null` or `~`."""
        return not self.quoted and self.text in ("", "~", "null", "Null", "NULL")


@frozen
class Sequenced(Node):
    """A list."""

    items: tuple[Node, ...]


@frozen
class Refused(Node):
    """A value that was refused and told already: nobody need tell it again."""


@frozen
class Mapped(Node):
    """A mapping: (key, value) in the file's order, keys unique."""

    pairs: tuple[tuple[Scalar, Node], ...]

    def get(self, key: str) -> Node | None:
        """The value of a key, or None."""
        return next((value for k, value in self.pairs if k.text == key), None)


def parse(data: bytes, name: str, loader: Any = yaml.SafeLoader) -> tuple[Node, list[Fault]]:
    """The one document of a file, and what in it is no plain data. Raises InputError where nothing can be read."""
    if len(data) > MOST_BYTES:
        raise InputError([Fault("", f"found {len(data)} bytes, allowed: at most {MOST_BYTES}", name)])
    text = _decoded(data, name)
    builder = _Builder(name)
    try:
        return builder.document(yaml.parse(text, Loader=loader)), builder.faults
    except yaml.reader.ReaderError as e:
        line, column = _place(text[: e.position])
        message = f"found the character U+{ord(text[e.position]):04X}, allowed: printable text"
    except yaml.MarkedYAMLError as e:
        mark = e.problem_mark or e.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
        message = "no YAML: " + ", ".join(v for v in (e.context, e.problem) if v)
    except (ValueError, OverflowError):  # the parser's own, without a place
        (line, column), message = builder.at, "no YAML: after this place stands an escape or a number out of range"
    except _Stop:
        raise InputError(builder.faults) from None
    raise InputError([*builder.faults, Fault("", message, name, line, column)])


def _decoded(data: bytes, name: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as e:
        line, column = _place(data[: e.start].decode("utf-8-sig", "replace"))
        message = f"found the byte 0x{data[e.start]:02x}, allowed: text in UTF-8"
        raise InputError([Fault("", message, name, line, column)]) from None


def _place(before: str) -> tuple[int, int]:
    """Line and column, from 1, of what follows this text."""
    lines = re.split(r"\r\n|[\r\n\x85\u2028\u2029]", before)
    return len(lines), len(lines[-1]) + 1


class _Stop(Exception):
    """Nothing after this place can be read."""


class _Builder:
    """Nodes from the parser's events; what is refused is noted and passed over where that is safe."""

    def __init__(self, name: str) -> None:
        self.name, self.count, self.at = name, 0, (1, 1)
        self.faults: list[Fault] = []

    def fault(self, event: Any, path: str, message: str) -> None:
        self.faults.append(Fault(path, message, self.name, event.start_mark.line + 1, event.start_mark.column + 1))

    def document(self, events: Iterator[Any]) -> Node:
        node: Node = Scalar(1, 1, "", False)
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self.fault(event, "", "found a second document, allowed: one")
                    break
            elif not isinstance(event, (yaml.StreamStartEvent, yaml.StreamEndEvent, yaml.DocumentEndEvent)):
                node = self.node(event, events, 1, "")
        return node

    def node(self, event: Any, events: Iterator[Any], depth: int, path: str) -> Node:
        self.at = line, column = event.start_mark.line + 1, event.start_mark.column + 1
        self.count += 1
        if depth > MOST_DEPTH or self.count > MOST_NODES:
            deep = depth > MOST_DEPTH
            what, most = (f"values nested {depth} deep", MOST_DEPTH) if deep else (f"{self.count} values", MOST_NODES)
            self.fault(event, path if deep else "", f"found {what}, allowed: at most {most}")
            raise _Stop
        if isinstance(event, yaml.AliasEvent):
            self.fault(event, path, f"found the alias *{event.anchor}, allowed: the value itself, written out")
            return Refused(line, column)
        if event.anchor is not None:
            self.fault(event, path, f"found the anchor &{event.anchor}, allowed: the value itself, written out")
        if event.tag is not None:
            self.fault(event, path, f"found the tag {event.tag}, allowed: plain data without tags")
        if isinstance(event, yaml.ScalarEvent):
            return Scalar(line, column, event.value, bool(event.style))
        if isinstance(event, yaml.SequenceStartEvent):
            items: list[Node] = []
            while not isinstance(event := next(events), yaml.SequenceEndEvent):
                items.append(self.node(event, events, depth + 1, f"{path}[{len(items)}]"))
            return Sequenced(line, column, tuple(items))
        return Mapped(line, column, tuple(self.pairs(events, depth, path)))

    def pairs(self, events: Iterator[Any], depth: int, path: str) -> Iterator[tuple[Scalar, Node]]:
        seen: dict[str, Scalar] = {}
        while not isinstance(event := next(events), yaml.MappingEndEvent):
            key = self.node(event, events, depth + 1, path)
            name = key.text if isinstance(key, Scalar) else ""
            word = name[:60] if name.isprintable() else ascii(name[:60])[1:-1]
            here = f"{path}.{word}" if path else word
            value = self.node(next(events), events, depth + 1, here)
            if not isinstance(key, Scalar):
                self.fault(event, path, "found a key that is a list or a mapping, allowed: a word")
                continue
            first = seen.setdefault(name, key)
            if first is key:
                yield key, value
            else:
                self.fault(event, here, f"found the key a second time, first in line {first.line}, allowed: once")
