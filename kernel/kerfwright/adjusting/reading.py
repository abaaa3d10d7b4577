"""Files of measured sizes, YAML or CSV, to values: every fault told at once, with its place."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any

from attrs import evolve, frozen

from kerfwright.adjusting.measured import Measured, MeasuredFile
from kerfwright.adjusting.tabled import table
from kerfwright.errors import Fault, InputError
from kerfwright.fields import Spec
from kerfwright.jobfile.given import given
from kerfwright.jobfile.nodes import Mapped, Node, Scalar, Sequenced, parse
from kerfwright.jobfile.reading import BAD, Custom, Reader
from kerfwright.jobfile.words import shown

__all__ = ["Filled", "read_filled", "read_measured"]

AXES = {"x": 0.0, "X": 0.0, "y": 90.0, "Y": 90.0}


@frozen
class Filled:
    """The sizes of a form, and how many of its blanks were left blank."""

    sizes: tuple[Measured, ...]
    blank: int = 0


def read_measured(file: str | Path, data: bytes | None = None) -> tuple[Measured, ...]:
    """The sizes of `read_filled`."""
    return read_filled(file, data).sizes


def read_filled(file: str | Path, data: bytes | None = None) -> Filled:
    """The sizes that a file says, in mm; a name that ends in .csv is a table, every other YAML.

    In YAML a size with nothing behind `measured:` is a blank: it is left out and counted. A form with blanks only is refused.

    Either every size has a standard uncertainty or none: one kind of weight cannot be told in terms of the other.
    `data` is read instead of the file where given. Raises InputError with all faults.
    """
    name = str(file)
    data = given(name) if data is None else data
    root: Node
    faults: list[Fault] = []
    if name.lower().endswith(".csv"):
        root = table(data, name)
    else:
        root, faults = parse(data, name)
    root, blank = _without_blanks(root)
    reader = Reader(name, MappingProxyType({"along": Custom(_along), "limits": Custom(_limits)}), faults=faults)
    units = root.get("units") if isinstance(root, Mapped) else None
    reader.units = "inch" if isinstance(units, Scalar) and units.text == "inch" else "mm"
    found: Any = reader.mapping(root, MeasuredFile, "")
    sizes: tuple[Measured, ...] = () if found is BAD else found.filled()
    if found is not BAD:
        _obey(reader, sizes, blank)
    if reader.faults:
        raise InputError(sorted(_whose(reader.faults, root), key=lambda f: (f.line, f.column)))
    return Filled(sizes, blank)


def _without_blanks(root: Node) -> tuple[Node, int]:
    """Without the sizes that nobody filled in, and an uncertainty that nobody said; and how many sizes those were."""
    if not isinstance(root, Mapped):
        return root, 0
    pairs: list[tuple[Scalar, Node]] = []
    blank = 0
    for key, value in root.pairs:
        if key.text == "sizes" and isinstance(value, Sequenced):
            kept = tuple(one for one in value.items if not (isinstance(one, Mapped) and _empty(one.get("measured"))))
            blank += len(value.items) - len(kept)
            pairs.append((key, evolve(value, items=kept)))
        elif key.text != "uncertainty" or not _empty(value):
            pairs.append((key, value))
    return evolve(root, pairs=tuple(pairs)), blank


def _empty(node: Node | None) -> bool:
    return isinstance(node, Scalar) and node.empty


def _whose(faults: Sequence[Fault], root: Node) -> list[Fault]:
    """The faults, each of a size with the size's name after it."""
    listed = root.get("sizes") if isinstance(root, Mapped) else None
    each = [one.get("name") if isinstance(one, Mapped) else None for one in getattr(listed, "items", ())]
    names = {f"sizes[{k}]": n.text for k, n in enumerate(each) if isinstance(n, Scalar) and n.text}
    owners = [names.get(f.path.split(".")[0]) for f in faults]
    return [evolve(f, message=f"{f.message} (size {n!r})") if n else f for f, n in zip(faults, owners, strict=True)]


def _obey(reader: Reader, sizes: tuple[Measured, ...], blank: int) -> None:
    """What holds between sizes."""
    if not sizes and blank:
        text = f"found {blank} blanks and no size behind `measured:`, allowed: one filled in at least"
        reader.fault(None, "sizes", text)
    elif not sizes:
        reader.fault(None, "sizes", "found none, allowed: one at least")
    seen: set[str] = set()
    with_u = sum(s.uncertainty is not None for s in sizes)
    for k, size in enumerate(sizes):
        path = f"sizes[{k}]"
        if size.name in seen:
            reader.fault(None, f"{path}.name", f"found {size.name!r} a second time, allowed: a name of its own")
        seen.add(size.name)
        if with_u and size.uncertainty is None:
            reader.fault(
                None,
                f"{path}.uncertainty",
                "found nothing, allowed: a standard uncertainty for every size, or for none",
            )


def _along(reader: Reader, node: Node, path: str, _: str) -> Any:
    """x, y, or degrees; half a turn more is the same direction."""
    if isinstance(node, Scalar) and node.text in AXES:
        return AXES[node.text]
    what = Spec("number", "direction", "deg", least=-180, most=180)
    angle = reader.scalar(node, what, path)
    if angle is not BAD:
        return angle % 180.0
    last = reader.faults.pop() if reader.faults else Fault(path, "")
    reader.faults.append(
        Fault(path, last.message.replace("allowed: ", "allowed: x, y, or "), last.file, last.line, last.column)
    )
    return BAD


def _limits(reader: Reader, node: Node, path: str, _: str) -> Any:
    """Lower and upper deviation (mm)."""
    if not isinstance(node, Sequenced):
        half = reader.scalar(node, Spec("number", "", "mm", above=0, most=5), path)
        return BAD if half is BAD else (-half, half)
    pair = reader.numbers(node, path, Spec("number", "", "mm", least=-5, most=5), 2)
    if pair is not BAD and pair[0] >= pair[1]:
        return reader.fault(node, path, f"found {shown(node)} that does not rise, allowed: lower, then upper deviation")
    return pair
