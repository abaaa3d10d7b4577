"""Lists of numbers and words: pairs, ranges, turns, flutes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kerfwright.cutter import FLUTES
from kerfwright.fields import Spec
from kerfwright.jobfile import fragments
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.nodes import Node
from kerfwright.jobfile.reading import BAD, Reader

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["flutes", "flutes_schema", "numbers", "numbers_schema", "pair", "pair_schema", "span", "span_schema"]


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


def numbers_schema(_: Schemas, unit: str) -> Fragment:
    """As `numbers` reads it."""
    return fragments.numbers(Spec("number", "", unit)) | {"description": f"a list of numbers {unit}"}


def pair_schema(_: Schemas, unit: str) -> Fragment:
    """As `pair` reads it."""
    words = f"two numbers above 0{'' if unit == '1' else f' {unit}'}: at pace first, and at pace proven"
    return fragments.numbers(Spec("number", "", unit, above=0), 2) | {"description": words}


def span_schema(_: Schemas, unit: str) -> Fragment:
    """As `span` reads it."""
    words = f"[least, most], two numbers above 0 {unit}"
    return fragments.numbers(Spec("number", "", unit, above=0), 2) | {"description": words}


def flutes_schema(_: Schemas, __: str) -> Fragment:
    """As `flutes` reads it."""
    return fragments.listed(fragments.choice(FLUTES)) | {"description": f"a list of {', '.join(FLUTES)}"}
