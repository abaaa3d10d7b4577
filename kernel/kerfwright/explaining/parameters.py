"""The parameters of a class, from the Spec of its fields alone; mappings inside it by keys like `allowance.side`."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

import attrs

from kerfwright import fields
from kerfwright.explaining.explanation import Parameter
from kerfwright.fields import Spec
from kerfwright.jobfile.schemas import Schemas
from kerfwright.placing.defaults import NAMES
from kerfwright.saying import as_said, default, unit_of

__all__ = ["parameter", "parameters", "sample"]


def parameters(schemas: Schemas, cls: type, needed: Collection[str] = (), inside: str = "") -> Iterator[Parameter]:
    """Each key. `needed` are keys that must be said though their field has a default."""
    for attribute in attrs.fields(cls):
        what = fields.spec(attribute)
        if what is None:
            continue
        key = inside + (what.key or attribute.name)
        yield parameter(schemas, attribute, what, key, key in needed)
        if what.kind == "nested":
            yield from parameters(schemas, what.of, needed, f"{key}.")


def parameter(
    schemas: Schemas,
    attribute: attrs.Attribute[Any],
    what: Spec,
    key: str,
    needed: bool = False,
    *,
    fixed: bool = False,
) -> Parameter:
    """One key of a class."""
    otherwise = what.otherwise
    if what.kind == "strategy" and what.of in NAMES:
        otherwise = f"`{NAMES[what.of]}`"
    needed = needed or attribute.default is attrs.NOTHING
    return Parameter(
        key=key,
        help=what.help,
        allowed=schemas.words(what),
        unit="" if unit_of(what) == "1" else unit_of(what),
        default=None if needed else as_said(default(attribute)),
        needed=needed,
        otherwise="" if needed else otherwise,
        example=as_said(what.example),
        fixed=fixed,
    )


def sample(attribute: attrs.Attribute[Any], what: Spec) -> Any:
    """A value that shows the form: the field's example, its default, or one within its bounds; None where there is none."""
    for one in (as_said(what.example), as_said(default(attribute))):
        if one:
            return one
    if attribute.default is not attrs.NOTHING:
        return None
    if what.kind == "choice":
        return what.options[0]
    if what.kind in ("number", "whole"):
        limits = [v for v in (what.least, what.above, what.most, what.below) if v is not None]
        tries = (1, 0.5, 2, 10, 100, 1000, sum(limits) / max(len(limits), 1), *limits)
        return next((as_said(v) for v in tries if not what.fault(v)), None)
    return {"flag": True, "text": "text", "point": [1] * (what.of if what.kind == "point" else 0)}.get(what.kind)
