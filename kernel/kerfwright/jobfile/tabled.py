"""The reader of table files: the same fields as in a job, and a source for every value.

A value is `{value: …, source: …}`, or its mapping has a `source` that holds for all that say none, nested mappings
included. Entries of a list (rows of rates) say their own.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Any

import attrs
import yaml
from attrs import Factory, define

from kerfwright.cutter import Cutter
from kerfwright.errors import Fault, InputError
from kerfwright.jobfile import scalars
from kerfwright.jobfile.customs import CUSTOMS
from kerfwright.jobfile.nodes import Mapped, Node, Scalar, Sequenced, parse
from kerfwright.jobfile.reading import BAD, Reader, join
from kerfwright.machine import Machine
from kerfwright.material import Material

__all__ = ["read_table"]

Table = tuple[Mapping[str, Mapping[str, Any]], Mapping[str, str]]
SHELVES: tuple[tuple[str, type], ...] = (("materials", Material), ("cutters", Cutter), ("machines", Machine))


@define(eq=False)
class _TableReader(Reader):
    """`block` is the source that holds where a value says none; `sources` collects them by path."""

    block: str = ""
    sources: dict[str, str] = Factory(dict)

    def values(self, node: Node, cls: type, path: str, *, extra: Collection[str] = (), **how: Any) -> Any:
        """As for a job, with the sources of a class that keeps them."""
        outer = self.block
        if isinstance(node, Mapped) and node.get("source") is not None:
            self.block = self.source(node.get("source"), join(path, "source"))
        out = super().values(node, cls, path, extra=(*extra, "source"), **how)
        self.block = outer
        if out is not None and any(a.name == "sources" for a in attrs.fields(cls)):
            inner = f"{path}."
            out["sources"] = {k.removeprefix(inner): v for k, v in self.sources.items() if k.startswith(inner)}
        return out

    def unwrapped(self, node: Mapped, key: str, path: str) -> Node | None:
        """The value without its source, which is kept."""
        value, here = node.get(key), join(path, key)
        if isinstance(value, Mapped) and value.get("value") is not None:
            self.unknown(value, here, ("value", "source"))
            source = value.get("source")
            self.sources[here] = self.block if source is None else self.source(source, join(here, "source"))
            value = value.get("value")
        elif value is None or isinstance(value, Mapped) or _rows(value):
            return value
        else:
            self.sources[here] = self.block
        if not self.sources[here]:
            text = "found a value without a source, allowed: {value: …, source: …}, or a source beside it"
            self.fault(value, here, text)
        return value

    def source(self, node: Node | None, path: str) -> str:
        """Where a value comes from, in words."""
        try:
            return scalars.text(node) if node is not None else ""
        except ValueError as e:
            self.fault(node, path, str(e).replace("a text", "a text that says where the value comes from"))
            return "?"

    def sequence(self, node: Node, path: str, read: Callable[[Node, str], Any], noun: str) -> Any:
        """Entries do not inherit a source."""
        outer, self.block = self.block, ""
        out = super().sequence(node, path, read, noun)
        self.block = outer
        return out


def _rows(node: Node) -> bool:
    return isinstance(node, Sequenced) and any(isinstance(n, Mapped) for n in node.items)


def read_table(file: Path, parsed: dict[tuple[str, bytes], Table] | None = None) -> Table:
    """Shelves of one file by name, and the sources by path. Raises InputError with every fault.

    What stands in `parsed`, by name and content, is not read again; what is read without a fault is added.
    """
    name = str(file)
    try:
        data = file.read_bytes()
    except OSError as e:
        raise InputError([Fault("", f"cannot be read: {e.strerror or e}", name)]) from None
    parsed = {} if parsed is None else parsed
    if (name, data) not in parsed:
        parsed[name, data] = _read(data, name)
    return parsed[name, data]


def _read(data: bytes, name: str) -> Table:
    """By the quick parser where there is one; where there is a fault, by the other, which tells more of it."""
    quick = getattr(yaml, "CSafeLoader", None)
    if quick is not None:
        with contextlib.suppress(InputError):
            return _shelves(data, name, quick)
    return _shelves(data, name, yaml.SafeLoader)


def _shelves(data: bytes, name: str, loader: Any) -> Table:
    root, faults = parse(data, name, loader)
    reader = _TableReader(name, CUSTOMS, faults=faults)
    shelves: dict[str, dict[str, Any]] = {}
    if isinstance(root, Mapped):
        known = ("units", *(shelf for shelf, _ in SHELVES))
        reader.unknown(root, "", known)
        units = root.get("units")
        if not isinstance(units, Scalar) or units.text not in ("mm", "inch"):
            reader.fault(units or root, "units", "found no units of plain numbers, allowed: mm, inch")
        else:
            reader.units = units.text
        for shelf, cls in SHELVES:
            shelves[shelf] = _shelf(reader, root.get(shelf), shelf, cls)
    else:
        reader.fault(root, "", "found no mapping, allowed: a mapping of units, materials, cutters, machines")
    if reader.faults:
        raise InputError(sorted(reader.faults, key=lambda f: (f.line, f.column)))
    return shelves, reader.sources


def _shelf(reader: _TableReader, node: Node | None, shelf: str, cls: type) -> dict[str, Any]:
    if node is None:
        return {}
    if not isinstance(node, Mapped):
        reader.fault(node, shelf, "found no mapping, allowed: a mapping of names")
        return {}
    things = {k.text: reader.mapping(v, cls, f"{shelf}.{k.text}", given={"name": k.text}) for k, v in node.pairs}
    return {name: thing for name, thing in things.items() if thing is not BAD}
