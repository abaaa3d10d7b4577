"""Lists of numbers and words: pairs, ranges, turns, flutes."""

from __future__ import annotations

from typing import Any

from kerfwright.cutter import FLUTES
from kerfwright.fields import Spec
from kerfwright.jobfile.nodes import Node
from kerfwright.jobfile.reading import BAD, Reader

__all__ = ["flutes", "numbers", "pair", "span"]


def numbers(reader: Reader, node: Node, path: str, unit: str) -> Any:
    """Any count of numbers of a unit."""
    return reader.numbers(node, path, Spec("number", "", unit))


def pair(reader: Reader, node: Node, path: str, unit: str) -> Any:
    """Two numbers above 0: at pace `first` and at pace `proven`."""
    return reader.numbers(node, path, Spec("number", "", unit, above=0), 2)


def span(reader: Reader, node: Node, path: str, unit: str) -> Any:
    """Least and most, both above 0."""
    out = pair(reader, node, path, unit)
    if out is not BAD and out[0] > out[1]:
        return reader.fault(node, path, f"found {out[0]:g} before {out[1]:g} {unit}, allowed: the lesser first")
    return out


def flutes(reader: Reader, node: Node, path: str, _: str) -> Any:
    """Words for directions of flutes."""
    what = Spec("choice", "direction of the flutes", options=FLUTES)
    return reader.sequence(node, path, lambda n, p: reader.scalar(n, what, p), "a list of " + ", ".join(FLUTES))
