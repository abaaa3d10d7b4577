"""The reader of a job file: what it knows besides the file's text."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from pathlib import Path

from attrs import Factory, define

from kerfwright.cutter import Cutter
from kerfwright.jobfile.nodes import Node, Scalar
from kerfwright.jobfile.reading import BAD, Reader
from kerfwright.jobfile.words import nearest, shown
from kerfwright.registry import Registry
from kerfwright.tables import Tables, load_tables

__all__ = ["JobReader"]


@define(eq=False, slots=False)
class JobReader(Reader):
    """`folder` is the top of the tree that the job may read from. Cutters and part names are filled in on the way."""

    registry: Registry = Factory(Registry)
    folder: Path = Path()
    open_layers: tuple[str, ...] = ()
    """Layers of drawings on which lines may stay open."""
    cutters: dict[str, Cutter] = Factory(dict)
    """By the job's names; BAD for one at fault."""
    files: dict[str, str] = Factory(dict)
    """Files read so far: path inside the folder -> SHA-256."""
    parts_named: list[tuple[Node, str, str]] = Factory(list)
    """Parts that selections name: node, path, name."""

    @cached_property
    def tables(self) -> Tables:
        """Read when the first name is looked up. Raises InputError where a table is at fault."""
        return load_tables(self.registry)

    def named(self, node: Node, path: str, shelf: Mapping[str, object], noun: str) -> object:
        """What a name stands for, or BAD."""
        name = node.text if isinstance(node, Scalar) else ""
        if name in shelf:
            return shelf[name]
        known = ", ".join(sorted(shelf)) or "none is known"
        self.fault(node, path, f"found {shown(node)}, allowed: {noun}: {known}{nearest(name, shelf)}")
        return BAD
