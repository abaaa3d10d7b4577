"""Parts: a drawing's file or shapes, and the places where copies lie."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import attrs

from kerfwright import fields
from kerfwright.errors import InputError
from kerfwright.fields import Spec
from kerfwright.jobfile import fragments, scalars
from kerfwright.jobfile.files import contents
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.nodes import Mapped, Node, Refused, Scalar, Sequenced
from kerfwright.jobfile.reading import BAD, Reader, join
from kerfwright.jobfile.words import shown
from kerfwright.outlines.shapes import SHAPES, Shape
from kerfwright.outlines.shapes import drawing as drawn
from kerfwright.saying import summary
from kerfwright.units import INCH

if TYPE_CHECKING:
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["drawing", "drawing_schema", "places", "places_schema", "points", "points_schema"]

MOST_TEXT = 1_000_000
POINT = Spec("point", "", "mm", of=2)


def drawing(reader: JobReader, node: Mapped, path: str, _: str) -> Any:
    """What `drawing` or `shapes` of a part says, as a Drawing."""
    said = [(key.text, value) for key, value in node.pairs if key.text in ("drawing", "shapes")]
    if len(said) != 1:
        found = " and ".join(key for key, _ in said) or "no drawing"
        return reader.fault(node, path, f"found {found}, allowed: one of drawing, shapes")
    key, value = said[0]
    here = join(path, key)
    reader.marks[here] = (value.line, value.column)
    if isinstance(value, Refused):
        return BAD
    return _file(reader, value, here) if key == "drawing" else _shapes(reader, value, here)


def _file(reader: JobReader, node: Node, path: str) -> Any:
    data = contents(reader, node, path)
    if data is BAD or not isinstance(node, Scalar):
        return BAD
    suffix = f".{node.text.rpartition('.')[2].lower()}" if "." in node.text else ""
    drawing_reader = reader.registry.drawings.get(suffix)
    if drawing_reader is None:
        known = ", ".join(sorted(reader.registry.drawings)) or "no reader of drawings is installed"
        return reader.fault(node, path, f"found a file of kind {suffix or 'unknown'!r}, allowed: {known}")
    try:
        return drawing_reader(open_layers=reader.open_layers).read(data, node.text)
    except InputError as e:
        return reader.told(e.faults, node, path, node.text)


def _shapes(reader: JobReader, node: Node, path: str) -> Any:
    noun = f"a list of shapes: {', '.join(SHAPES)}"
    shapes = reader.sequence(node, path, lambda n, p: _shape(reader, n, p), noun)
    if shapes is BAD:
        return BAD
    if not shapes:
        return reader.fault(node, path, f"found a list of 0, allowed: {noun}")
    try:
        return drawn(shapes, [f"{path}[{k}]" for k in range(len(shapes))])
    except InputError as e:
        for one in e.faults:
            reader.fault(None, one.path or path, one.message)
        return BAD


def _shape(reader: JobReader, node: Node, path: str) -> Any:
    if isinstance(node, Refused):
        return BAD
    if not isinstance(node, Mapped):
        return reader.fault(node, path, f"found {shown(node)}, allowed: a mapping of one of {', '.join(SHAPES)}")
    known = [*SHAPES, "layer"]
    reader.unknown(node, path, known)
    kinds = [(key.text, value) for key, value in node.pairs if key.text in SHAPES]
    if len(kinds) != 1:
        if not kinds and any(key.text not in known for key, _ in node.pairs):
            return BAD  # told as unknown
        found = " and ".join(key for key, _ in kinds) or "no shape"
        return reader.fault(node, path, f"found {found}, allowed: one of {', '.join(SHAPES)}")
    kind, value = kinds[0]
    given: dict[str, Any] = {}
    layer = node.get("layer")
    if layer is not None and not (isinstance(value, Mapped) and value.get("layer")):
        given["layer"] = _layer(reader, layer, join(path, "layer"))
    elif layer is not None:
        return reader.fault(layer, join(path, "layer"), f"found a second layer, allowed: one, here or in {kind}")
    return _made(reader, value, kind, join(path, kind), given)


def _made(reader: JobReader, value: Node, kind: str, path: str, given: dict[str, Any]) -> Any:
    """A shape from the mapping of its fields, or from the value of its one field."""
    cls = SHAPES[kind]
    reader.marks[path] = (value.line, value.column)
    if any(a.name == "unit" for a in attrs.fields(cls)):
        given["unit"] = INCH if reader.units == "inch" else 1.0
    if isinstance(value, Mapped):
        inner = value.get("layer")
        if inner is not None:
            given["layer"] = _layer(reader, inner, join(path, "layer"))
        return reader.mapping(value, cls, path, given=given, extra=("layer",) if inner is not None else ())
    if not cls.single or isinstance(value, Refused):
        return reader.mapping(value, cls, path, given=given)
    attribute = attrs.fields_dict(cls)[cls.single]
    what = fields.spec(attribute)
    assert what is not None
    if what.kind == "text":
        given[cls.single] = _long(reader, value, path, what)
    else:
        given[cls.single] = reader.value(value, what, path)
    return reader.built(value, cls, path, given)


def _long(reader: Reader, node: Node, path: str, what: Spec) -> Any:
    try:
        return scalars.text(node, what, most=MOST_TEXT)
    except ValueError as e:
        return reader.fault(node, path, str(e))


def _layer(reader: Reader, node: Node, path: str) -> Any:
    try:
        return BAD if isinstance(node, Refused) else scalars.text(node, numbers=True)
    except ValueError as e:
        return reader.fault(node, path, str(e))


def places(reader: Reader, node: Node, path: str, _: str) -> Any:
    """A pair, or a list of pairs."""
    if isinstance(node, Sequenced) and node.items and all(isinstance(n, Sequenced) for n in node.items):
        return points(reader, node, path, "")
    noun = "a pair [x, y] mm or a list of pairs"
    if not isinstance(node, Sequenced) or len(node.items) != 2:
        return reader.fault(node, path, f"found {shown(node)}, allowed: {noun}")
    one = reader.numbers(node, path, POINT, 2)
    return BAD if one is BAD else (one,)


def points(reader: Reader, node: Node, path: str, _: str) -> Any:
    """A list of pairs."""
    return reader.sequence(node, path, lambda n, p: reader.numbers(n, p, POINT, 2), "a list of pairs, [[x, y], …]")


def drawing_schema(schemas: Schemas, _: str) -> Fragment:
    """As `drawing` reads it."""
    suffixes = sorted(schemas.registry.drawings)
    shapes = fragments.listed(schemas.shared("shape", lambda: _shape_schema(schemas)), 1)
    file = fragments.file(suffixes) | {"description": f"a file in the job's folder: {', '.join(suffixes)}"}
    shapes["description"] = f"a list of shapes: {', '.join(SHAPES)}"
    each = {"drawing": file, "shapes": shapes}
    return fragments.one_of_keys(each) | {"description": f"drawing: {file['description']}, or {shapes['description']}"}


def _shape_schema(schemas: Schemas) -> Fragment:
    layer = fragments.text(numbers=True) | {"description": "layer, as a drawing file has"}
    each = {name: _one_shape_schema(schemas, cls, layer) for name, cls in SHAPES.items()}
    closed: Fragment = {"type": "object", "additionalProperties": False}
    return closed | fragments.one_of_keys(each) | {"properties": {**each, "layer": layer}}


def _one_shape_schema(schemas: Schemas, cls: type[Shape], layer: Fragment) -> Fragment:
    mapping = schemas.mapping(cls, without=("layer",), extra={"layer": layer})
    help_ = summary(cls)
    if not cls.single:
        return mapping | {"description": help_}
    what = fields.spec(attrs.fields_dict(cls)[cls.single])
    assert what is not None
    single = fragments.text(MOST_TEXT) if what.kind == "text" else schemas.of(what)
    return {"anyOf": [single, mapping], "description": help_}


def places_schema(_: Schemas, __: str) -> Fragment:
    """As `places` reads it."""
    pair = fragments.numbers(POINT, 2)
    return {"anyOf": [pair, fragments.listed(pair, 1)], "description": "a pair [x, y] mm or a list of pairs"}


def points_schema(_: Schemas, __: str) -> Fragment:
    """As `points` reads it."""
    return fragments.listed(fragments.numbers(POINT, 2)) | {"description": "a list of pairs, [[x, y], …] mm"}
