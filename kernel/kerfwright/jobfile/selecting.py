"""The words of `select` and `ignore`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kerfwright.fields import Spec
from kerfwright.jobfile import fragments, scalars
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.nodes import Mapped, Node, Refused, Scalar, Sequenced
from kerfwright.jobfile.reading import BAD, join
from kerfwright.jobfile.words import nearest, shown
from kerfwright.selection import Choice, Selection

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["select", "select_schema"]

WORDS = ("outer", "inner", "all")
KEYS = ("circles", "layer", "within", "part")
ALLOWED = f"one of {', '.join(WORDS)}, a mapping of {', '.join(KEYS)}, or a list of these"


def select(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """A selection: one choice, or a list of them, any of which may hold."""
    if not isinstance(node, Sequenced):
        one = _choice(reader, node, path)
        return BAD if one is BAD else Selection((one,), said(node))
    if not node.items:
        return reader.fault(node, path, f"found {shown(node)}, allowed: {ALLOWED}")
    many = reader.sequence(node, path, lambda n, p: _choice(reader, n, p), ALLOWED)
    return BAD if many is BAD else Selection(many, said(node))


def said(node: Node) -> str:
    """A selection as the job says it, for messages.

    >>> said(Mapped(1, 1, ((Scalar(1, 1, "layer", False), Scalar(1, 9, "recess", False)),)))
    '{layer: recess}'
    """
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequenced):
        return f"[{', '.join(map(said, node.items))}]"
    return f"{{{', '.join(f'{k.text}: {said(v)}' for k, v in node.pairs)}}}" if isinstance(node, Mapped) else ""


def _choice(reader: JobReader, node: Node, path: str) -> Any:
    if isinstance(node, Refused):
        return BAD
    if isinstance(node, Scalar) and node.text in WORDS:
        return Choice(nesting=node.text)
    if not isinstance(node, Mapped) or not node.pairs:
        word = node.text if isinstance(node, Scalar) else ""
        return reader.fault(node, path, f"found {shown(node)}, allowed: {ALLOWED}{nearest(word, (*WORDS, *KEYS))}")
    reader.unknown(node, path, KEYS)
    out: dict[str, Any] = {}
    for key, value in node.pairs:
        if key.text in KEYS and not isinstance(value, Refused):
            reader.marks[join(path, key.text)] = (value.line, value.column)
            out[key.text] = _KEYS[key.text](reader, value, join(path, key.text))
    return BAD if BAD in out.values() or len(out) < len(node.pairs) else Choice(**out)


def _circles(reader: JobReader, node: Node, path: str) -> Any:
    what = Spec("number", "", "mm", above=0)
    if not isinstance(node, Sequenced):
        one = reader.scalar(node, what, path)
        return BAD if one is BAD else (one, one)
    out = reader.numbers(node, path, what, 2)
    if out is not BAD and out[0] > out[1]:
        return reader.fault(node, path, f"found {out[0]:g} before {out[1]:g} mm, allowed: [least, most]")
    return out


def _within(reader: JobReader, node: Node, path: str) -> Any:
    out = reader.numbers(node, path, Spec("number", "", "mm"), 4)
    if out is not BAD and not (out[0] < out[2] and out[1] < out[3]):
        return reader.fault(node, path, "found a box without area, allowed: [x0, y0, x1, y1] with x0 < x1 and y0 < y1")
    return out


def _text(reader: JobReader, node: Node, path: str) -> Any:
    """A layer's or part's name: `0` is a layer too."""
    try:
        return scalars.text(node, numbers=True)
    except ValueError as e:
        return reader.fault(node, path, str(e))


def _part(reader: JobReader, node: Node, path: str) -> Any:
    name = _text(reader, node, path)
    if name is not BAD:
        reader.parts_named.append((node, path, name))
    return name


_KEYS = {"circles": _circles, "layer": _text, "within": _within, "part": _part}


def select_schema(schemas: Schemas, _: str) -> Fragment:
    """As `select` reads it."""
    return schemas.shared("select", _schema)


def _schema() -> Fragment:
    diameter, place = Spec("number", "", "mm", above=0), Spec("number", "", "mm")
    name = fragments.text(numbers=True)
    values: dict[str, Fragment] = {
        "circles": {
            "anyOf": [fragments.number(diameter), fragments.numbers(diameter, 2)],
            "description": "circles of a diameter, or [least, most]",
        },
        "layer": name | {"description": "outlines on a layer of the drawing"},
        "within": fragments.numbers(place, 4) | {"description": "a box [x0, y0, x1, y1] in the drawing's coordinates"},
        "part": name | {"description": "outlines of one part"},
    }
    one: list[Fragment] = [
        fragments.choice(WORDS),
        {
            "type": "object",
            "minProperties": 1,
            "additionalProperties": False,
            "properties": {key: values[key] for key in KEYS},
        },
    ]
    return {"anyOf": [*one, fragments.listed({"anyOf": one}, 1)], "description": ALLOWED}
