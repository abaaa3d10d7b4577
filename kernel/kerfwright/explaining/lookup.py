"""Names to what is installed: a name may stand for several things, and all of them are told."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from attrs import frozen

from kerfwright.errors import KerfwrightError
from kerfwright.explaining import plugins
from kerfwright.explaining.dialects import dialect
from kerfwright.explaining.entries import SHELVES, entry
from kerfwright.explaining.explanation import Explanation
from kerfwright.explaining.kinds import kind
from kerfwright.jobfile.customs import CUSTOMS
from kerfwright.jobfile.schemas import Schemas
from kerfwright.jobfile.words import nearest
from kerfwright.registry import Registry
from kerfwright.strategy import KINDS

__all__ = ["UnknownName", "everything", "explain"]


class UnknownName(KerfwrightError):
    """Nothing installed has this name: the message has the nearest one."""


@frozen
class _Thing:
    """What one or more names stand for."""

    names: tuple[str, ...]
    make: Callable[[], Explanation]


def explain(name: str, registry: Registry | None = None) -> tuple[Explanation, ...]:
    """All that a name stands for: one word, or a strategy's kind and name, `entry ramp`.

    Raises UnknownName, and InputError where a table is at fault.
    """
    schemas = Schemas(registry or Registry.load(), CUSTOMS)
    things = list(_things(schemas))
    found = tuple(one.make() for one in things if name in one.names)
    if not found:
        near = nearest(name, [n for one in things for n in one.names])
        raise UnknownName(f"found {name!r}, allowed: a name from `kerfwright list`, or a kind of strategy{near}")
    return found


def everything(registry: Registry | None = None) -> dict[str, tuple[Explanation, ...]]:
    """All that can be explained, by every name. Raises InputError where a table is at fault."""
    out: dict[str, tuple[Explanation, ...]] = {}
    for one in _things(Schemas(registry or Registry.load(), CUSTOMS)):
        told = one.make()
        out |= {name: (*out.get(name, ()), told) for name in dict.fromkeys(one.names)}
    return out


def _things(schemas: Schemas) -> Iterator[_Thing]:
    registry = schemas.registry
    for name, operation in sorted(registry.operations.items()):
        yield _Thing((name,), partial(plugins.operation, schemas, operation))
    for name in KINDS:
        yield _Thing((name,), partial(kind, schemas, name))
    for (of, name), strategy in sorted(registry.strategies.items()):
        yield _Thing((name, f"{of} {name}"), partial(plugins.strategy, schemas, strategy))
    for name, one in sorted(registry.dialects.items()):
        yield _Thing((name,), partial(dialect, schemas, one))
    for language, reader in sorted(registry.readers.items()):
        yield _Thing((language,), partial(plugins.reader, schemas, reader))
    for suffix, drawing in sorted(registry.drawings.items()):
        yield _Thing((suffix, suffix.removeprefix(".")), partial(plugins.drawing, schemas, drawing, suffix))
    for name, check in sorted(registry.checks.items()):
        yield _Thing((name,), partial(plugins.check, schemas, check))
    for name, report in sorted(registry.reports.items()):
        yield _Thing((name,), partial(plugins.report, schemas, report))
    for shelf in SHELVES:
        for name in sorted(getattr(schemas.tables, shelf)):
            yield _Thing((name,), partial(entry, schemas, shelf, name))
