"""Nodes to attrs classes by the Spec of their fields, with every fault noted: no second list of keys."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from typing import TYPE_CHECKING, Any

import attrs
from attrs import Factory, define, frozen

from kerfwright import fields
from kerfwright.errors import Fault
from kerfwright.fields import Spec
from kerfwright.jobfile import scalars
from kerfwright.jobfile.nodes import Mapped, Node, Refused, Scalar, Sequenced
from kerfwright.jobfile.words import allowed, nearest, pointed, shown, word

if TYPE_CHECKING:
    from kerfwright.jobfile.fragments import Fragment
    from kerfwright.jobfile.schemas import Schemas

__all__ = ["BAD", "Custom", "Reader", "join"]


class _Bad:
    """Stands for a value whose faults are noted."""

    def __repr__(self) -> str:
        return "BAD"


BAD: Any = _Bad()


def join(path: str, key: str) -> str:
    """The path of a key."""
    return f"{path}.{key}" if path else key


@frozen
class Custom:
    """A reader of `custom` fields: `read(reader, node, path, argument)`, the argument being what follows the colon.

    `schema(schemas, argument)` says the same of what it reads as a fragment of JSON Schema, its `description` in words. One with
    `keys` reads these keys of the mapping around it instead of the field's own, and is given that mapping; its fragment has
    them as `properties`. Readers of files that no editor is told about have no schema.
    """

    read: Callable[[Any, Any, str, str], Any]
    schema: Callable[[Schemas, str], Fragment] | None = None
    keys: tuple[str, ...] = ()


@define(eq=False)
class Reader:
    """Reads one file. `customs` by the word of their fields; `marks` says where each path stands."""

    file: str
    customs: Mapping[str, Custom]
    units: str = "mm"
    faults: list[Fault] = Factory(list)
    marks: dict[str, tuple[int, int]] = Factory(dict)

    def fault(self, node: Node | None, path: str, message: str) -> Any:
        """Note a fault, and give BAD."""
        if node is None:
            line, column = self.near(path)
        else:
            line, column = node.line, node.column
        self.faults.append(Fault(path, message, self.file, line, column))
        return BAD

    def near(self, path: str) -> tuple[int, int]:
        """Line and column of a path, or of the nearest key above it."""
        while path and path not in self.marks:
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        return self.marks.get(path, (0, 0))

    def values(
        self,
        node: Node,
        cls: type,
        path: str,
        *,
        base: Any = None,
        given: Mapping[str, Any] | None = None,
        extra: Collection[str] = (),
    ) -> dict[str, Any] | None:
        """Arguments of a class by attribute name, BAD for those at fault, left out where the default holds. None where the
        node is no mapping.

        `base` is an instance whose values hold where the mapping says nothing, BAD for one that is not known; `given` are values that have no key here;
        `extra` keys are read by the caller.
        """
        self.marks.setdefault(path, (node.line, node.column))
        given = given or {}
        specs = {a.name: (a, s) for a in attrs.fields(cls) if (s := fields.spec(a)) and a.name not in given}
        keys: dict[str, str] = {}
        for name, (attribute, what) in specs.items():
            custom = self.custom(what)
            keys.update(dict.fromkeys(custom.keys if custom and custom.keys else (what.key or attribute.name,), name))
        if not isinstance(node, Mapped):
            if not isinstance(node, Refused):
                self.fault(node, path, f"found {shown(node)}, allowed: a mapping of {', '.join([*extra, *keys])}")
            return None
        guessed = self.unknown(node, path, [*extra, *keys])
        out: dict[str, Any] = {} if base in (None, BAD) else {a.name: getattr(base, a.name) for a in attrs.fields(cls)}
        out |= given
        for name, (attribute, what) in specs.items():
            custom, key = self.custom(what), what.key or attribute.name
            if custom and custom.keys:
                if base in (None, BAD) or any(node.get(k) for k in custom.keys):
                    out[name] = custom.read(self, node, path, "")
                continue
            value = self.unwrapped(node, key, path)
            if value is not None:
                out[name] = self.value(value, what, join(path, key), base if base is BAD else getattr(base, name, None))
            elif base is BAD or (attribute.default is attrs.NOTHING and name not in out):
                if base is not BAD and key not in guessed:
                    self.fault(node, join(path, key), f"found nothing, allowed: {allowed(what)}")
                out[name] = BAD
        return out

    def unwrapped(self, node: Mapped, key: str, path: str) -> Node | None:
        """The value of a key; a table unwraps it from its source here."""
        return node.get(key)

    def unknown(self, node: Mapped, path: str, keys: Collection[str]) -> set[str]:
        """A fault for each key that is not known; gives the keys that may have been meant."""
        guessed: set[str] = set()
        for n, (key, _) in enumerate(node.pairs):
            if key.text not in keys:
                near = pointed(node.pairs[n - 1][1] if n else None, key.text) or nearest(key.text, keys)
                guessed.update(k for k in keys if near.endswith(f" {k}?"))
                self.fault(key, join(path, word(key.text)), f"found an unknown key, allowed: {', '.join(keys)}{near}")
        return guessed

    def mapping(self, node: Node, cls: type, path: str, **how: Any) -> Any:
        """An instance of an attrs class, or BAD."""
        out = self.values(node, cls, path, **how)
        return BAD if out is None else self.built(node, cls, path, out)

    def built(self, node: Node | None, cls: type, path: str, out: Mapping[str, Any]) -> Any:
        """The class made of values; what it refuses is noted at the key it names."""
        if any(v is BAD for v in out.values()):
            return BAD
        alias = {a.name: a.alias or a.name for a in attrs.fields(cls) if a.init}
        try:
            return cls(**{alias[name]: value for name, value in out.items() if name in alias})
        except ValueError as e:
            message = str(e)
            key, _, rest = message.partition(": ")
            if rest and any(key == (s.key or a.name) for a in attrs.fields(cls) if (s := fields.spec(a))):
                at = node.get(key) if isinstance(node, Mapped) else None
                return self.fault(at or node, join(path, key), rest)
            return self.fault(node, path, message)

    def custom(self, what: Spec) -> Custom | None:
        """The reader of a custom field."""
        return self.customs[what.of.partition(":")[0]] if what.kind == "custom" else None

    def value(self, node: Node, what: Spec, path: str, base: Any = None) -> Any:
        """One field's value, its place noted."""
        self.marks[path] = (node.line, node.column)
        return BAD if isinstance(node, Refused) else self.read(node, what, path, base)

    def read(self, node: Node, what: Spec, path: str, base: Any = None) -> Any:
        """By kind."""
        if isinstance(node, Scalar) and node.empty:
            return self.fault(node, path, f"found nothing, allowed: {allowed(what)}")
        if what.kind == "nested":
            return self.mapping(node, what.of, path, base=base)
        if what.kind == "listed":
            return self.sequence(node, path, lambda n, p: self.mapping(n, what.of, p), allowed(what))
        if what.kind == "point":
            return self.numbers(node, path, what, what.of)
        if what.kind == "strategy":
            return self.customs["strategy"].read(self, node, path, what.of)
        if what.kind == "custom":
            return self.customs[what.of.partition(":")[0]].read(self, node, path, what.of.partition(":")[2])
        return self.scalar(node, what, path)

    def scalar(self, node: Node, what: Spec, path: str) -> Any:
        """A single value."""
        try:
            match what.kind:
                case "number":
                    return scalars.number(node, what, self.units)
                case "whole":
                    return scalars.whole(node, what)
                case "flag":
                    return scalars.flag(node, what)
                case "choice":
                    return scalars.word(node, what)
            return scalars.text(node, what)
        except ValueError as e:
            return BAD if isinstance(node, Refused) else self.fault(node, path, str(e))

    def sequence(self, node: Node, path: str, read: Callable[[Node, str], Any], noun: str) -> Any:
        """A tuple of what `read` makes of each item, or BAD."""
        if not isinstance(node, Sequenced):
            return BAD if isinstance(node, Refused) else self.fault(node, path, f"found {shown(node)}, allowed: {noun}")
        out = []
        for k, item in enumerate(node.items):
            self.marks[f"{path}[{k}]"] = (item.line, item.column)
            out.append(read(item, f"{path}[{k}]"))
        return BAD if any(v is BAD for v in out) else tuple(out)

    def numbers(self, node: Node, path: str, what: Spec, count: int | None = None) -> Any:
        """A tuple of numbers of one unit, or BAD."""
        noun = f"a list of {count or ''} numbers".replace("  ", " ") + (f" {what.unit}" if what.unit != "1" else "")
        if isinstance(node, Sequenced) and count is not None and len(node.items) != count:
            return self.fault(node, path, f"found {shown(node)}, allowed: {noun}")
        each = attrs.evolve(what, kind="number", of=None)
        return self.sequence(node, path, lambda n, p: self.scalar(n, each, p), noun)

    def told(self, faults: Iterable[Fault], node: Node, path: str, file: str = "") -> Any:
        """Faults of something this file names, told at the place that names it."""
        for one in faults:
            inner = attrs.evolve(one, file=one.file or (file if one.path != file else ""))
            self.fault(node, path, str(inner))
        return BAD
