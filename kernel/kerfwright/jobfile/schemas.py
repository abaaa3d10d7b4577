"""attrs classes to JSON Schema by the Spec of their fields: as `reading` reads them, and no second list of keys either."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import cached_property
from typing import Any
from urllib.parse import quote, unquote

import attrs
from attrs import Factory, define

from kerfwright import fields
from kerfwright.fields import Spec
from kerfwright.jobfile import fragments
from kerfwright.jobfile.fragments import Fragment
from kerfwright.jobfile.reading import Custom
from kerfwright.jobfile.words import allowed
from kerfwright.registry import Registry
from kerfwright.saying import as_said, default, unit_of
from kerfwright.tables import Tables, load_tables

__all__ = ["Schemas"]

DEFS = "#/$defs/"


@define(eq=False, slots=False)
class Schemas:
    """Makes fragments for one registry. `shared` ones are kept in `defs` and referred to."""

    registry: Registry
    customs: Mapping[str, Custom]
    defs: dict[str, Fragment] = Factory(dict)

    @cached_property
    def tables(self) -> Tables:
        """For the names in them. Raises InputError where a table is at fault."""
        return load_tables(self.registry)

    def shared(self, name: str, make: Callable[[], Fragment]) -> Fragment:
        """A reference to a fragment that is made once."""
        if name not in self.defs:
            self.defs[name] = {}  # it may refer to itself
            self.defs[name] = make()
        return {"$ref": DEFS + quote(name.replace("~", "~0").replace("/", "~1"))}

    def mapping(
        self,
        cls: type,
        *,
        without: Collection[str] = (),
        extra: Mapping[str, Fragment] | None = None,
        base: bool = False,
    ) -> Fragment:
        """The mapping of a class. `without` are attributes that have no key here, `extra` keys besides those of its fields.

        `base`: a key `base` may name an entry of a table, and nothing else is needed then.
        """
        properties, required, rest = dict(extra or {}), list[str](), list[Fragment]()
        for attribute in attrs.fields(cls):
            what = fields.spec(attribute)
            if what is None or attribute.name in without:
                continue
            custom = self.customs[what.of.partition(":")[0]] if what.kind == "custom" else None
            if custom and custom.keys:
                around = self.of(what)
                properties |= around.pop("properties")
                around.pop("description", None)
                rest.append(around)
                continue
            key = what.key or attribute.name
            properties[key] = self.field(attribute, what)
            if attribute.default is attrs.NOTHING:
                required.append(key)
        out: Fragment = {"type": "object", "properties": properties, "additionalProperties": False}
        if base and (required or rest):
            out["anyOf"] = [
                {"required": ["base"]},
                {"required": required, "allOf": rest} if rest else {"required": required},
            ]
            return out
        return out | ({"required": required} if required else {}) | ({"allOf": rest} if rest else {})

    def field(self, attribute: attrs.Attribute[Any], what: Spec) -> Fragment:
        """One key: what it takes, with help, default and example."""
        out = self.of(what)
        words = self.words(what)
        out["description"] = what.help if words in ("", what.help) else f"{what.help}: {words}"
        said = as_said(default(attribute), unit_of(what), with_units=True)
        if said is not None and not (what.kind == "custom" and isinstance(said, str) and what.of == "select"):
            out["default"] = said
        if what.otherwise:
            out["description"] += f"; left out: {what.otherwise}"
        if what.example is not None:
            out["examples"] = [as_said(what.example, unit_of(what), with_units=True)]
        return out

    def words(self, what: Spec) -> str:
        """What a field takes, in words."""
        if what.kind == "listed":
            return "a list of mappings"
        if what.kind not in ("custom", "strategy"):
            return allowed(what)
        found = self.of(what)
        if "$ref" in found:
            found = self.defs[unquote(found["$ref"].removeprefix(DEFS)).replace("~1", "/").replace("~0", "~")]
        return str(found.get("description", ""))

    def of(self, what: Spec) -> Fragment:
        """What a field takes, a fresh fragment each time."""
        match what.kind:
            case "number":
                return fragments.number(what)
            case "whole":
                return fragments.whole(what)
            case "flag":
                return {"type": "boolean"}
            case "text":
                return fragments.text()
            case "choice":
                return fragments.choice(what.options)
            case "point":
                return fragments.numbers(what, what.of)
            case "nested":
                return self.mapping(what.of)
            case "listed":
                return fragments.listed(self.mapping(what.of))
        name, _, argument = ("strategy", "", what.of) if what.kind == "strategy" else what.of.partition(":")
        make = self.customs[name].schema
        if make is None:
            raise LookupError(f"the reader of `{name}` fields has no schema beside it")
        return make(self, argument)
