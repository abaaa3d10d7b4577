"""A kind of strategy: what it decides, where it is asked, and who fills it."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Any

import attrs

from kerfwright import fields
from kerfwright.explaining.explanation import Explanation, Named
from kerfwright.explaining.parameters import parameters
from kerfwright.explaining.plugins import strategy
from kerfwright.explaining.wording import paragraphs
from kerfwright.job import Part
from kerfwright.jobfile.schemas import Schemas
from kerfwright.jobfile.strategies import DEFAULT
from kerfwright.placing.defaults import INSTEAD, NAMES
from kerfwright.saying import summary
from kerfwright.strategy import KINDS

__all__ = ["kind"]


def kind(schemas: Schemas, name: str) -> Explanation:
    """One of the kinds."""
    registry, base = schemas.registry, KINDS[name]
    filled = tuple(
        Named(n, summary(cls), registry.origins.get(cls, ""))
        for (k, n), cls in sorted(registry.strategies.items())
        if k == name
    )
    facts = [("asked by", ", ".join(_askers(schemas, name)) or "nothing installed")]
    if name in NAMES:
        then = f"; where it finds no room, {', then '.join(f'`{n}`' for n in INSTEAD[name])}" if name in INSTEAD else ""
        facts.append(("left out", f"`{NAMES[name]}`{then}"))
    else:
        facts.append(("left out", "none: the job says whether it wants one"))
    facts += [
        ("of your own", f"a subclass of kerfwright.strategy.{base.__name__} that answers {told}")
        for told in _asked(base)
    ]
    return Explanation(
        kind="kind of strategy",
        name=name,
        text=paragraphs(base),
        facts=tuple(facts),
        installed=filled,
        parameters=tuple(parameters(schemas, base)),
        example="\n".join(_examples(schemas, name)),
    )


def _examples(schemas: Schemas, name: str) -> list[str]:
    """By name, and with parameters."""
    usual = NAMES.get(name, DEFAULT)
    cls = schemas.registry.strategies.get((name, usual))
    return [] if cls is None else list(dict.fromkeys((f"{name}: {usual}", strategy(schemas, cls).example)))


def _askers(schemas: Schemas, name: str) -> Iterator[str]:
    things: list[tuple[str, Any]] = [("part", Part), *sorted(schemas.registry.operations.items())]
    for noun, cls in things:
        whats = (fields.spec(a) for a in attrs.fields(cls))
        if any(what is not None and what.kind == "strategy" and what.of == name for what in whats):
            yield noun


def _asked(base: type) -> Iterator[str]:
    """The methods without which it is none."""
    for word, method in vars(base).items():
        code = getattr(method, "__code__", None)
        if not word.startswith("_") and code is not None and "NotImplementedError" in code.co_names:
            arguments = ", ".join(list(inspect.signature(method).parameters)[1:])
            yield f"{word}({arguments}): {' '.join(paragraphs(method))}"
