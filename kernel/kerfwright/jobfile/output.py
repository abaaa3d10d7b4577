"""How the program is written, and what the parts must keep."""

from __future__ import annotations

import re
from typing import Any

from kerfwright.fields import Spec
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.later import LATER, not_yet
from kerfwright.jobfile.nodes import Mapped, Node, Scalar
from kerfwright.jobfile.reading import join
from kerfwright.jobfile.words import NOT_YET, nearest, shown

__all__ = ["dialect", "tolerance"]


def dialect(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """`NAME`, `{dialect: NAME}` or `{base: NAME}`; variations of a dialect are not yet."""
    at, here = node, path
    if isinstance(node, Mapped):
        known = ("dialect", "base", *LATER["output"])
        reader.unknown(node, path, known)
        for key, value in node.pairs:
            if key.text in LATER["output"]:
                reader.fault(
                    key, join(path, key.text), f"found {shown(value)}: {NOT_YET}, allowed: the dialect as it stands"
                )
        said = [(key.text, value) for key, value in node.pairs if key.text in ("dialect", "base")]
        if len(said) != 1:
            found = " and ".join(key for key, _ in said) or "no dialect"
            return reader.fault(node, path, f"found {found}, allowed: one of dialect, base")
        here, at = join(path, said[0][0]), said[0][1]
    name = at.text if isinstance(at, Scalar) else ""
    if name in reader.registry.dialects:
        return name
    names = sorted(reader.registry.dialects)
    there = (", ".join(names) or "none is installed") + nearest(name, names)
    return reader.fault(at, here, f"found {shown(at)}{not_yet('dialect', name)}, allowed: {there}")


def tolerance(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """A number; classes of ISO 2768-1 are not yet."""
    if isinstance(node, Scalar) and re.fullmatch(
        r"(?:ISO\s*2768\s*-\s*1?\s*-?\s*)?[fmcv]|ISO\s*2768.*", node.text, re.I
    ):
        return reader.fault(
            node, path, f"found the class {shown(node)}: {NOT_YET}, allowed: a number above 0 and at most 5 mm"
        )
    return reader.scalar(node, Spec("number", "", "mm", above=0, most=5), path)
