"""Files that a job names: only plain files inside the job's own folder tree."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path, PurePosixPath
from typing import Any

from kerfwright.errors import InputError
from kerfwright.jobfile import scalars
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.nodes import Mapped, Node, Scalar, parse
from kerfwright.jobfile.reading import BAD
from kerfwright.jobfile.words import nearest, shown

__all__ = ["MOST_DRAWING", "YAML", "contents", "inside"]

MOST_DRAWING = 100_000_000
"""Most bytes of a drawing."""

YAML = (".yaml", ".yml")
"""Endings of a file whose mapping stands for one in the job."""


def inside(reader: JobReader, node: Scalar, path: str, noun: str, read: Callable[[JobReader, Mapped], Any]) -> Any:
    """What `read` makes of the mapping of a file that a value names, or BAD; faults name that file.

    `noun` says what it is a mapping of.
    """
    data = contents(reader, node, path)
    if data is BAD:
        return BAD
    try:
        root, faults = parse(data, node.text)
    except InputError as e:
        reader.faults += e.faults
        return BAD
    own = JobReader(node.text, reader.customs, reader.units, [*faults], registry=reader.registry, folder=reader.folder)
    if isinstance(root, Mapped):
        out = read(own, root)
    else:
        out = own.fault(root, "", f"found no mapping, allowed: a mapping of {noun}")
    reader.faults += own.faults
    return BAD if own.faults else out


def contents(reader: JobReader, node: Node, path: str) -> Any:
    """The bytes of the file a value names, or BAD."""
    try:
        name = scalars.text(node)
    except ValueError as e:
        return reader.fault(node, path, str(e).replace("a text", "a file's name"))
    inside = "a file inside the job's folder, folders separated by /"
    relative = PurePosixPath(name)
    if relative.is_absolute() or ".." in relative.parts or "\\" in name or ":" in name or name.startswith("~"):
        return reader.fault(node, path, f"found {shown(node)}, allowed: {inside}")
    try:
        folder = reader.folder.resolve()
        file = (folder / relative).resolve()
        if not file.is_relative_to(folder):
            return reader.fault(
                node, path, f"found {shown(node)}, which leads out of the job's folder, allowed: {inside}"
            )
        if not file.is_file():
            there = [p.name for p in file.parent.iterdir() if p.is_file()] if file.parent.is_dir() else []
            return reader.fault(node, path, f"found no file {name!r}, allowed: {inside}{nearest(file.name, there)}")
        data = _read(reader, node, path, file)
        if data is not BAD:
            reader.files[str(relative)] = hashlib.sha256(data).hexdigest()
        return data
    except (OSError, RuntimeError) as e:  # RuntimeError: links that lead in a circle
        why = getattr(e, "strerror", None) or "links that lead in a circle"
        return reader.fault(node, path, f"found {shown(node)}, which cannot be read ({why}), allowed: {inside}")


def _read(reader: JobReader, node: Node, path: str, file: Path) -> Any:
    size = file.stat().st_size
    if size > MOST_DRAWING:
        return reader.fault(node, path, f"found a file of {size} bytes, allowed: at most {MOST_DRAWING}")
    return file.read_bytes()
