"""A job file to a Job, with every fault told at once."""

from __future__ import annotations

import sys
from pathlib import Path

import attrs

from kerfwright.errors import Fault, InputError
from kerfwright.job import Job, Origin
from kerfwright.jobfile import general, rules
from kerfwright.jobfile.customs import CUSTOMS
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.nodes import MOST_BYTES, Mapped, Node, Scalar, parse
from kerfwright.jobfile.open_layers import open_layers
from kerfwright.registry import Registry

__all__ = ["load_job"]


def load_job(
    source: str | Path, registry: Registry | None = None, *, text: str | None = None, name: str | None = None
) -> Job:
    """The job that a file says, in mm.

    `source` is the file, or `-` for standard input. Drawings are looked for in its folder, the current one for `-`.
    `text` is read instead of the file where given; `name` is what messages call the file, else `source`.
    Raises InputError with all faults, in the file's order, each with line and column.
    """
    registry = registry or Registry.load()
    name = name or str(source)
    data = _bytes(str(source), name) if text is None else _encoded(text)
    root, faults = parse(data, name)
    folder = Path() if str(source) == "-" else Path(source).parent
    reader = JobReader(name, CUSTOMS, registry=registry, folder=folder, faults=faults)
    reader.units, reader.open_layers = _units(root), open_layers(root, registry)
    values = reader.values(root, Job, "")
    if values is None:
        raise InputError(reader.faults)
    rules.obey(reader, values)
    general.resolve(reader, values)
    if reader.faults:
        raise InputError(sorted(reader.faults, key=lambda f: (f.line, f.column)))
    job: Job = reader.built(root, Job, "", values)
    if reader.faults:
        raise InputError(reader.faults)
    return attrs.evolve(job, origin=Origin(name, reader.marks, reader.files), warnings=rules.warnings(job.sheet))


def _units(root: Node) -> str:
    """The units of plain numbers; what else `units` may say wrong is told where it is read."""
    said = root.get("units") if isinstance(root, Mapped) else None
    return "inch" if isinstance(said, Scalar) and said.text == "inch" else "mm"


def _encoded(text: str) -> bytes:
    """The bytes a text was read from: what was no UTF-8 there is told as in a file."""
    try:
        return text.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:  # half characters that no file held
        return text.encode("utf-8", "surrogatepass")


def _bytes(source: str, name: str) -> bytes:
    try:
        if source == "-":
            return sys.stdin.buffer.read(MOST_BYTES + 1)
        with Path(source).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as e:
        why = getattr(e, "strerror", None) or str(e)
        raise InputError([Fault("", f"cannot be read: {why}", name)]) from None
