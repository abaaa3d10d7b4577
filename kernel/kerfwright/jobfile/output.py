"""How the program is written, and what the parts must keep."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from attrs import evolve

from kerfwright.errors import Contradiction, InputError
from kerfwright.fields import Spec, spec
from kerfwright.hearing.answers import heard as answers
from kerfwright.inspecting.general import CLASSES, GRADED, grade
from kerfwright.jobfile import fragments
from kerfwright.jobfile.files import YAML, inside
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.job import JobReader
from kerfwright.jobfile.missing import missing
from kerfwright.jobfile.nodes import Mapped, Node, Refused, Scalar
from kerfwright.jobfile.reading import BAD, join
from kerfwright.jobfile.words import nearest, shown
from kerfwright.saying import summary

if TYPE_CHECKING:
    from kerfwright.dialect import Dialect
    from kerfwright.jobfile.schemas import Schemas

__all__ = [
    "dialect",
    "dialect_schema",
    "heard",
    "heard_schema",
    "machine_dialect",
    "tolerance",
    "tolerance_schema",
    "unknown_dialect",
]

TOLERANCE = Spec("number", "", "mm", above=0, most=5)


def dialect(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """`NAME`; a mapping with what varies it; or a file with such a mapping. The dialect's name where nothing varies it."""
    if not isinstance(node, Mapped):
        if isinstance(node, Scalar) and node.text.endswith(YAML):
            return _from_file(reader, node, path)
        name = node.text if isinstance(node, Scalar) else ""
        return name if name in reader.registry.dialects else unknown_dialect(reader, node, path, name)
    said = [(key.text, value) for key, value in node.pairs if key.text in ("dialect", "base")]
    if len(said) != 1:
        found = " and ".join(key for key, _ in said) or "no dialect"
        return reader.fault(node, path, f"found {found}, allowed: one of dialect, base")
    here, at = join(path, said[0][0]), said[0][1]
    name = at.text if isinstance(at, Scalar) else ""
    if name not in reader.registry.dialects:
        return unknown_dialect(reader, at, here, name)
    cls = reader.registry.dialects[name]
    there = _variations(reader, node, path, cls)
    values = {key: _value(reader, value, here, cls, key) for key, (here, value) in there.items()}
    if any(value is BAD for value in values.values()):
        return BAD
    names = {key: one.name for key, one in cls.variations().items()}
    try:
        return cls(**{names[key]: value for key, value in values.items()}) if values else name
    except Contradiction as e:
        for key, text in e.told:
            here, value = there.get(key, (join(path, key), node))
            reader.fault(value, here, text)
        return BAD


def _variations(reader: JobReader, node: Mapped, path: str, cls: type[Dialect]) -> dict[str, tuple[str, Node]]:
    """What the mapping says, by the dialect's keys, with path and node; keys that it does not have are noted."""
    keys = list(cls.variations())
    groups = list(dict.fromkeys(key.partition(".")[0] for key in keys))
    reader.unknown(node, path, ("dialect", "base", *groups))
    out: dict[str, tuple[str, Node]] = {}
    for key, value in node.pairs:
        here = join(path, key.text)
        mine = [k.partition(".")[2] for k in keys if k.startswith(f"{key.text}.")]
        if not mine:
            if key.text in keys:
                out[key.text] = (here, value)
        elif isinstance(value, Mapped):
            reader.unknown(value, here, mine)
            out |= {f"{key.text}.{k.text}": (join(here, k.text), v) for k, v in value.pairs if k.text in mine}
        elif not isinstance(value, Refused):
            reader.fault(value, here, f"found {shown(value)}, allowed: a mapping of {', '.join(mine)}")
    return out


def _value(reader: JobReader, node: Node, path: str, cls: type[Dialect], key: str) -> Any:
    """One value, as the dialect's field takes it."""
    one = cls.variations()[key]
    what = spec(one)
    reader.marks[path] = (node.line, node.column)
    if what is None:  # fixed by the dialect
        fixed = str(one.default).lower() if isinstance(one.default, bool | None) else one.default
        only = "" if one.default is None else f" than {fixed}"
        return reader.fault(node, path, f"found {shown(node)}, allowed: leave it out, as {cls.name} has no other{only}")
    if isinstance(node, Scalar) and node.empty:
        return reader.fault(node, path, f"found nothing, allowed: {what.allowed()}")
    return reader.scalar(node, what, path)


def _from_file(reader: JobReader, node: Scalar, path: str) -> Any:
    """The mapping of a file of the user's own."""
    return inside(reader, node, path, "base, and of what varies it", lambda own, root: dialect(own, root, "", ""))


def machine_dialect(reader: Any, node: Node, path: str, argument: str) -> Any:
    """As in a job; a table names one that stands as it is."""
    if isinstance(reader, JobReader):
        return dialect(reader, node, path, argument)
    return reader.scalar(node, Spec("text", "dialect its controller understands"), path)


def heard(reader: Any, node: Node, path: str, _: str) -> Any:
    """Answers of the hearing test: a mapping of trials to what was answered."""
    if not isinstance(node, Mapped):
        return reader.fault(node, path, f"found {shown(node)}, allowed: a mapping of trials to yes, no or seconds")
    said = {key.text: value.text if isinstance(value, Scalar) else "?" for key, value in node.pairs}
    try:
        return tuple(answers(said).items())
    except InputError as e:
        for one in e.faults:
            reader.fault(node, path, one.message)
        return BAD


def unknown_dialect(reader: JobReader, node: Node, path: str, name: str) -> Any:
    """Note that there is no such dialect."""
    names = sorted(reader.registry.dialects)
    there = (", ".join(names) or "none is installed") + nearest(name, names)
    found = shown(node) if isinstance(node, Scalar) and node.text == name else repr(name)
    return reader.fault(node, path, f"found {found}{missing('dialect', name)}, allowed: {there}")


def tolerance(reader: JobReader, node: Node, path: str, _: str) -> Any:
    """A number (mm), or the letter of a class of ISO 2768-1: which number follows from it the drawings tell."""
    name = grade(node.text) if isinstance(node, Scalar) else None
    if name is not None:
        return name
    out = reader.scalar(node, TOLERANCE, path)
    if out is BAD and not isinstance(node, Refused):
        last = reader.faults.pop()
        reader.faults.append(evolve(last, message=f"{last.message}, or {CLASSES}"))
    return out


def dialect_schema(schemas: Schemas, _: str) -> Fragment:
    """As `dialect` reads it."""
    return schemas.shared("output", lambda: _schema(schemas))


def _schema(schemas: Schemas) -> Fragment:
    dialects = dict(sorted(schemas.registry.dialects.items()))
    names = [{"const": n, "description": summary(c)} for n, c in dialects.items()]
    file = fragments.file(YAML) | {"description": "a file in the job's folder that holds such a mapping"}
    varied = [schemas.shared(f"dialect-{n}", partial(_varied, schemas, n, c)) for n, c in dialects.items()]
    words = f"a name: {', '.join(dialects)}; a mapping of base and what varies it; or a file with such a mapping"
    return {"anyOf": [*names, file, *varied], "description": words}


def _varied(schemas: Schemas, name: str, cls: type[Dialect]) -> Fragment:
    """A mapping with what varies one dialect: in groups by the first word of its keys; what it fixes is no key."""
    closed: Fragment = {"type": "object", "additionalProperties": False}
    base: Fragment = {"const": name, "description": "the dialect that is varied"}
    properties: dict[str, Fragment] = {"base": base, "dialect": base}
    for key, attribute in cls.variations().items():
        group, _, word = key.partition(".")
        what = spec(attribute)
        if word:  # a group may be there and empty
            described = {"description": f"what varies of the {group}", "properties": {}}
            inside = properties.setdefault(group, closed | described)["properties"]
        else:
            inside, word = properties, group
        if what is not None:
            inside[word] = schemas.field(attribute, what)
    return closed | {"properties": properties, "oneOf": [{"required": [k]} for k in ("base", "dialect")]}


def heard_schema(_: Schemas, __: str) -> Fragment:
    """As `heard` reads it. Some readers of YAML take yes and no for truths."""
    word = {"type": "string", "pattern": r"^\s*([Yy][Ee][Ss]|[Nn][Oo]|[0-9.]+s?)\s*$"}
    each = {"anyOf": [word, {"type": ["number", "boolean", "null"]}]}
    return {"type": "object", "additionalProperties": each, "description": "by trial: yes, no, or seconds"}


def tolerance_schema(_: Schemas, __: str) -> Fragment:
    """As `tolerance` reads it."""
    graded = {"type": "string", "pattern": GRADED, "description": CLASSES}
    return {"anyOf": [fragments.number(TOLERANCE), graded], "description": f"{TOLERANCE.allowed()}, or {CLASSES}"}
