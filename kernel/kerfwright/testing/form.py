"""The form of a strategy's class: what can be said of it without asking it anything."""

from __future__ import annotations

import re
from collections.abc import Iterator

import attrs

from kerfwright.fields import Spec, spec
from kerfwright.registry import Registry
from kerfwright.strategy import KINDS, Strategy

__all__ = ["METHODS", "form_of"]

METHODS = {
    kind: next(n for n, v in vars(base).items() if callable(v) and not n.startswith("_"))
    for kind, base in KINDS.items()
}
"""The one method that a strategy of each kind fills in."""


def form_of(cls: type[Strategy], registry: Registry) -> Iterator[str]:
    """What is wrong with the class, a sentence each."""
    base = KINDS.get(cls.kind)
    if base is None or not issubclass(cls, base):
        yield f"its kind is {cls.kind!r}: it must be a subclass of one of {', '.join(k.__name__ for k in KINDS.values())}"
        return
    if not re.fullmatch(r"[a-z][a-z0-9_]*", cls.name):
        yield f"its name is {cls.name!r}: it must be small letters, digits and underscores, as a job file names it"
    other = registry.strategies.get((cls.kind, cls.name))
    if other is not None and (other.__module__, other.__qualname__) != (cls.__module__, cls.__qualname__):
        yield f"its name is taken: {cls.kind} {cls.name} is offered by {registry.origins.get(other, 'another plugin')}"
    if "__attrs_attrs__" not in vars(cls):
        yield "it is no attrs class of its own: it must be marked @define(frozen=True, kw_only=True)"
    if not _frozen(cls):
        yield "it is not frozen: it must be marked @define(frozen=True, kw_only=True)"
    if not (vars(cls).get("__doc__") or "").strip():
        yield "it has no docstring: its first line is what `kerfwright list` shows"
    if cls.__call__ is not base.__call__:
        yield "it replaces `__call__`, which proves its answers; fill in the method only"
    if getattr(cls, METHODS[cls.kind]) is getattr(base, METHODS[cls.kind]):
        yield f"it does not fill in `{METHODS[cls.kind]}`"
    for field in attrs.fields(cls):
        yield from _field(cls, field)


def _frozen(cls: type[Strategy]) -> bool:
    """Whether attributes can neither be set nor added."""
    one = object.__new__(cls)
    try:
        one.something_new = 1  # type: ignore[attr-defined]
    except attrs.exceptions.FrozenInstanceError:
        return True
    except AttributeError:
        return False
    return False


def _field(cls: type[Strategy], field: attrs.Attribute[object]) -> Iterator[str]:
    what = spec(field)
    if what is None:
        yield f"its field `{field.name}` is no parameter: make it with kerfwright.fields, with unit, help and bounds"
        return
    if not what.help.strip():
        yield f"its field `{field.name}` has no help"
    if what.kind in ("number", "whole"):
        if what.above is None and what.least is None:
            yield f"its field `{field.name}` has no lower bound"
        if what.below is None and what.most is None:
            yield f"its field `{field.name}` has no upper bound"
        if what.kind == "number" and not what.unit:
            yield f"its field `{field.name}` has no unit"
        yield from _default(field, what)


def _default(field: attrs.Attribute[object], what: Spec) -> Iterator[str]:
    default = field.default
    if default is attrs.NOTHING or isinstance(default, attrs.Factory) or (default is None and what.optional):  # type: ignore[arg-type]
        return
    wrong = what.fault(default)
    if wrong:
        yield f"the default of its field `{field.name}` is out of bounds: {wrong}"
