"""Operations, strategies, checks, reports, drawings and readers, as their classes tell it."""

from __future__ import annotations

import inspect
import sys
from collections import Counter
from typing import Any

import attrs

from kerfwright import fields
from kerfwright.drawings import DrawingReader
from kerfwright.explaining.explanation import Explanation
from kerfwright.explaining.parameters import parameters, sample
from kerfwright.explaining.wording import flow, paragraphs
from kerfwright.finding import Check
from kerfwright.jobfile.schemas import Schemas
from kerfwright.operation import Answering, Operation
from kerfwright.proof import REQUIRED
from kerfwright.reader import Reader
from kerfwright.report import Report
from kerfwright.strategy import Strategy

__all__ = ["check", "drawing", "of_module", "operation", "reader", "report", "strategy"]


def of_module(schemas: Schemas, cls: type) -> tuple[str, ...]:
    """What the file of a thing says, where it holds that thing alone; then what the thing says."""
    registry = schemas.registry
    homes = Counter(one.__module__ for one in registry.origins if isinstance(one, type))
    module = sys.modules.get(cls.__module__) if homes[cls.__module__] == 1 else None
    said = (inspect.getdoc(module) or "") if module is not None else ""
    own = paragraphs(cls)
    return tuple(dict.fromkeys((*(" ".join(p.split()) for p in said.split("\n\n") if p.strip()), *own)))


def operation(schemas: Schemas, cls: type[Operation]) -> Explanation:
    """What it does, the cutters it takes, and its keys."""
    schemas.of(fields.Spec("custom", "", of="operations"))
    needed = schemas.defs[f"operation-{cls.kind}"].get("required", ())
    facts = [("cutters", f"of form {' or '.join(cls.forms)}")]
    if cls.follows_lines:
        facts.append(("lines", "follows open lines of a drawing too, on the layers that it selects by name"))
    if issubclass(cls, Answering):
        there = cls.kind in schemas.registry.takings
        told = (
            "its taking tells the proof what it takes"
            if there
            else "no taking is installed: nothing it makes is released"
        )
        facts.append(("proof", told))
    said = {what.key or a.name: (a, what) for a in attrs.fields(cls) if (what := fields.spec(a))}
    own = {key for key, (a, what) in said.items() if not a.inherited and (what.example or key == "select")}
    found = {key: sample(a, what) for key, (a, what) in said.items() if key in own or key in needed}
    shown = {key: value for key, value in found.items() if value is not None}
    shown["cutter"] = cls.forms[0].rpartition("_")[2]
    return Explanation(
        kind="operation",
        name=cls.kind,
        origin=schemas.registry.origins.get(cls, ""),
        text=of_module(schemas, cls),
        facts=tuple(facts),
        parameters=tuple(parameters(schemas, cls, needed)),
        example=f"operations: {flow([{cls.kind: shown}])}",
    )


def strategy(schemas: Schemas, cls: type[Strategy]) -> Explanation:
    """What it does, and its keys."""
    said: dict[str, Any] = {
        what.key or a.name: value
        for a in attrs.fields(cls)
        if (what := fields.spec(a)) and (value := sample(a, what)) is not None
    }
    by_parameters = cls.kind == "bridges" and cls.name in said
    example = said if by_parameters else {cls.name: said} if said else cls.name
    facts = [] if cls.reproducible else [("caution", "not reproducible: another run may answer otherwise")]
    return Explanation(
        kind=f"strategy of the kind {cls.kind}",
        name=cls.name,
        origin=schemas.registry.origins.get(cls, ""),
        text=of_module(schemas, cls),
        facts=tuple(facts),
        parameters=tuple(parameters(schemas, cls)),
        example=f"{cls.kind}: {flow(example)}",
    )


def check(schemas: Schemas, cls: type[Check]) -> Explanation:
    """What it proves, and what to do about what it finds."""
    facts = [("remedy", cls.remedy or "what the finding itself says")]
    if cls.name in REQUIRED:
        facts.append(("needed", "where it is not installed, nothing is released"))
    if cls.first:
        facts.append(("asked first", "where it finds an error, no other check is asked"))
    return Explanation(
        kind="check",
        name=cls.name,
        origin=schemas.registry.origins.get(cls, ""),
        text=of_module(schemas, cls),
        facts=tuple(facts),
        parameters=tuple(parameters(schemas, cls)),
    )


def report(schemas: Schemas, cls: type[Report]) -> Explanation:
    """What page or picture it makes, and when."""
    when = "whether or not the programs passed their checks" if cls.when_failed else "where every program was proved"
    return Explanation(
        kind="report",
        name=cls.name,
        origin=schemas.registry.origins.get(cls, ""),
        text=of_module(schemas, cls),
        facts=(("made", f"by `kerfwright make`, {when}"),),
    )


def drawing(schemas: Schemas, cls: type[DrawingReader], suffix: str) -> Explanation:
    """What it reads of a file."""
    return Explanation(
        kind="drawing",
        name=suffix,
        origin=schemas.registry.origins.get(cls, ""),
        text=of_module(schemas, cls),
        facts=(("files", f"that end in {', '.join(cls.suffixes)}, in capitals or not"),),
        example=f"drawing: part{suffix}",
    )


def reader(schemas: Schemas, cls: type[Reader]) -> Explanation:
    """The language, and the dialects that are read back by it."""
    read = sorted(name for name, d in schemas.registry.dialects.items() if getattr(d, "language", "") == cls.language)
    return Explanation(
        kind="reader of a language",
        name=cls.language,
        origin=schemas.registry.origins.get(cls, ""),
        text=of_module(schemas, cls),
        facts=(("document", cls.document), ("reads back", ", ".join(read) or "no installed dialect")),
    )
