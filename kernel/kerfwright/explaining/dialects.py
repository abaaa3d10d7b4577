"""A dialect: its document, what of it data may vary, and each rule with its source."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from kerfwright import fields
from kerfwright.dialect import Dialect
from kerfwright.explaining.explanation import Explanation, Parameter, Rule
from kerfwright.explaining.parameters import parameter
from kerfwright.explaining.plugins import of_module
from kerfwright.explaining.wording import flow
from kerfwright.jobfile.schemas import Schemas

__all__ = ["dialect"]


def dialect(schemas: Schemas, cls: type[Dialect]) -> Explanation:
    """One dialect."""
    facts = [("document", cls.document or "none is named"), ("files", f"end in {cls.suffix}")]
    language = getattr(cls, "language", "")
    if language:
        there = language in schemas.registry.readers
        lost = "" if there else ", which is not installed: nothing in this dialect is released"
        facts.append(("read back", f"by the reader of {language}{lost}"))
    facts.append(("change of cutter", " or ".join(cls.changes)))
    return Explanation(
        kind="dialect",
        name=cls.name,
        origin=schemas.registry.origins.get(cls, ""),
        text=of_module(schemas, cls),
        facts=tuple(facts),
        parameters=tuple(_variations(schemas, cls)),
        rules=tuple(Rule(rule, source or "no source is named") for rule, source in cls.rules),
        example=_example(cls),
    )


def _variations(schemas: Schemas, cls: type[Dialect]) -> Iterator[Parameter]:
    for key, attribute in cls.variations().items():
        own = fields.spec(attribute)
        what = own or _inherited(cls, key)
        yield parameter(schemas, attribute, what, key, fixed=own is None)


def _inherited(cls: type[Dialect], key: str) -> fields.Spec:
    """What the nearest base says of a key that a dialect has fixed."""
    for base in cls.__mro__:
        for attribute in attrs.fields(base) if attrs.has(base) else ():
            what = fields.spec(attribute)
            if what is not None and what.key == key:
                return what
    raise LookupError(key)


def _example(cls: type[Dialect]) -> str:
    """The name, and a mapping that varies the first of its choices."""
    for key, attribute in cls.variations().items():
        what = fields.spec(attribute)
        if what is not None and what.kind == "choice" and attribute.default in what.options:
            group, _, word = key.partition(".")
            other = next((one for one in what.options if one != attribute.default), None)
            if other is not None:
                said = {"base": cls.name, group: {word: other} if word else other}
                return f"output: {cls.name}\noutput: {flow(said)}"
    return f"output: {cls.name}"
